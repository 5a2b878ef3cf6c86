import type { MarkedBase } from '../../../../db/rows/printing.ts'
import type { Base } from '../../../http/base.ts'

/** An ellipse in a picture, in its pixels: turned by so many degrees about its middle. */
export interface Ellipse {
  cx: number
  cy: number
  rx: number
  ry: number
  turned: number
}

/**
 * Scale of a picture at the base that is marked in it. It holds there and about as far from the camera, no further.
 *
 * @param whole measures of the picture in pixels
 * @returns pixels a millimetre, along the line between the marks
 */
export function pxPerMm(whole: { width: number; height: number }, { x1, y1, x2, y2, widthMm }: MarkedBase): number {
  return Math.hypot(((x2 - x1) / 100) * whole.width, ((y2 - y1) / 100) * whole.height) / widthMm
}

/**
 * A base as it would stand in the place of the marked one: its longer side along the marks, and as shallow as that one
 * looks from where the camera was (a circle seen from afar is an ellipse of its own width).
 */
export function laidOver(whole: { width: number; height: number }, marked: MarkedBase, base: Base): Ellipse {
  const { x1, y1, x2, y2, depth } = marked
  const scale = pxPerMm(whole, marked)
  const [long, short] = [Math.max(base.widthMm, base.lengthMm ?? 0), Math.min(base.widthMm, base.lengthMm ?? Infinity)]
  const [dx, dy] = [((x2 - x1) / 100) * whole.width, ((y2 - y1) / 100) * whole.height]
  return {
    cx: ((x1 + x2) / 200) * whole.width,
    cy: ((y1 + y2) / 200) * whole.height,
    rx: (long / 2) * scale,
    ry: (short / 2) * scale * (depth / 100),
    turned: (Math.atan2(dy, dx) * 180) / Math.PI,
  }
}
