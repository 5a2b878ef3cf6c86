import type { Outline } from '../parts/outline.ts'

/** What is measured of a mesh; z points up. Only this leaves the browser, never the mesh. */
export interface Measure {
  /** Of each part, as lower-case hex digits, sorted. */
  sha256s: string[]
  /** Along x, y and z, all parts together. */
  widthMm: number
  depthMm: number
  heightMm: number
  volumeMl: number
  surfaceMm2: number
  /** Shells lie within each other, so that the volume is an upper bound. */
  overlapping: boolean
  shells: number
  /** Edges of one triangle only. */
  openEdges: number
  /** Edges of more than two triangles, or of two that face opposite ways. */
  nonManifoldEdges: number
  /** Closed shells that are inside out; the wall of a hollow inside another shell is not one of them. */
  invertedShells: number
  /** The largest cross-section, and the height above the lowest point where it is. */
  widestLayerMm2: number
  widestLayerAtMm: number
  /** From the front (x, z), from the side (y, z) and from above (x, y); together at most `mostPoints`. */
  front: Outline
  side: Outline
  above: Outline
  /** Where something begins in mid-air, lowest first: the `mostStarts` largest. `null`: not looked for. */
  midAir: MidAir[] | null
  /** The layers at which it was looked for, in µm. */
  layerUm: number | null
}

export interface MidAir {
  /** Above the lowest point. */
  heightMm: number
  /** The middle of where it begins, from the left and from the near edge of the whole. */
  xMm: number
  yMm: number
  /** The largest cross-section of what hangs there, before it joins the rest. */
  areaMm2: number
}

/** All three outlines together have no more points than this. */
export const mostPoints = 240

/** Of what begins in mid-air so many are listed, the largest. */
export const mostStarts = 100
