/**
 * What a figure covers, seen from one side: closed rings of points in millimetres, filled by the even-odd rule. x runs
 * from the left edge (0), y from the lowest point upwards (0); the last point of a ring is joined to its first.
 */
export type Outline = [x: number, y: number][][]

/** What a file is drawn by: its outline from the front, and the size that it has. */
export interface FigureShadow {
  front: Outline
  widthMm: number
  heightMm: number
}
