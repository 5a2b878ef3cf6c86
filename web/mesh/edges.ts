import { join } from './union.ts'
import type { Welded } from './weld.ts'

/** What the edges of a solid tell. */
export interface Edges {
  open: number
  nonManifold: number
  /** 1 for each half-edge without another side. */
  isOpen: Uint8Array
}

/** A half-edge's number fits below this beside the other end's in a whole number of 53 bits. */
const most = 2 ** 26

/**
 * Goes through the edges: by their lower end, then by their other one.
 *
 * @param leads sets of triangles, joined across every edge
 */
export function walkEdges({ points, count }: Welded, leads: Int32Array): Edges {
  const { starts, halves } = byLowerEnd(points, count)
  const edges: Edges = { open: 0, nonManifold: 0, isOpen: new Uint8Array(points.length) }
  let keys = new Float64Array(64)
  for (let point = 0; point < count; point++) {
    const from = starts[point] as number
    const length = (starts[point + 1] as number) - from
    if (length > keys.length) keys = new Float64Array(length * 2)
    for (let at = 0; at < length; at++) {
      const half = halves[from + at] as number
      keys[at] = otherEnd(points, half, point) * most + half
    }
    sort(keys, length)
    for (let at = 0; at < length; ) at = oneEdge(keys, at, length, points, leads, edges)
  }
  return edges
}

/** Half-edge h goes from corner h to the next of its triangle. Those of triangles without an area of their own are left out. */
function byLowerEnd(points: Int32Array, count: number): { starts: Int32Array; halves: Int32Array } {
  const starts = new Int32Array(count + 1)
  for (let half = 0; half < points.length; half++) {
    if (isCollapsed(points, half)) continue
    const low = Math.min(points[half] as number, points[nextHalf(half)] as number)
    starts[low + 1] = (starts[low + 1] as number) + 1
  }
  for (let point = 0; point < count; point++)
    starts[point + 1] = (starts[point + 1] as number) + (starts[point] as number)
  const halves = new Int32Array(starts[count] as number)
  const next = starts.slice(0, count)
  for (let half = 0; half < points.length; half++) {
    if (isCollapsed(points, half)) continue
    const low = Math.min(points[half] as number, points[nextHalf(half)] as number)
    const at = next[low] as number
    halves[at] = half
    next[low] = at + 1
  }
  return { starts, halves }
}

const nextHalf = (half: number) => (half % 3 === 2 ? half - 2 : half + 1)

/** Whether two corners of a triangle are one point. @param corner any of its three */
export function isCollapsed(points: Int32Array, corner: number): boolean {
  const first = corner - (corner % 3)
  const [a, b, c] = [points[first], points[first + 1], points[first + 2]]
  return a === b || b === c || c === a
}

function otherEnd(points: Int32Array, half: number, lower: number): number {
  const from = points[half] as number
  return from === lower ? (points[nextHalf(half)] as number) : from
}

/** Counts the edge whose half-edges begin at a place of the list, and joins its triangles. @returns where the next one begins */
function oneEdge(
  keys: Float64Array,
  at: number,
  length: number,
  points: Int32Array,
  leads: Int32Array,
  edges: Edges,
): number {
  const other = Math.floor((keys[at] as number) / most)
  const first = (keys[at] as number) - other * most
  let forwards = 0
  let end = at
  for (; end < length && Math.floor((keys[end] as number) / most) === other; end++) {
    const half = (keys[end] as number) - other * most
    if (points[half] !== other) forwards++
    if (end > at) join(leads, Math.floor(first / 3), Math.floor(half / 3))
  }
  if (end - at === 1) {
    edges.open++
    edges.isOpen[first] = 1
  } else if (end - at > 2 || forwards !== 1) edges.nonManifold++
  return end
}

/** Most lists have a handful. */
function sort(keys: Float64Array, length: number): void {
  if (length > 40) {
    keys.subarray(0, length).sort()
    return
  }
  for (let at = 1; at < length; at++) {
    const key = keys[at] as number
    let before = at - 1
    for (; before >= 0 && (keys[before] as number) > key; before--) keys[before + 1] = keys[before] as number
    keys[before + 1] = key
  }
}
