/**
 * Triangles of one connected description (a file, or one copy of an object in a 3MF): nine numbers each, the corners' x,
 * y and z in mm, counter-clockwise as seen from outside.
 */
export type Solid = Float32Array

export const trianglesIn = (solid: Solid): number => solid.length / 9

/** The box around all: lowest and highest x, y, z. */
export interface Box {
  min: [number, number, number]
  max: [number, number, number]
}

/** @returns the box around every corner, mm; turned inside out (Infinity to -Infinity) around nothing */
export function boxAround(solids: readonly Solid[]): Box {
  const box: Box = { min: [Infinity, Infinity, Infinity], max: [-Infinity, -Infinity, -Infinity] }
  for (const solid of solids) {
    for (const axis of [0, 1, 2] as const) {
      let [min, max] = [box.min[axis], box.max[axis]]
      for (let at = axis; at < solid.length; at += 3) {
        const value = solid[at] as number
        if (value < min) min = value
        if (value > max) max = value
      }
      box.min[axis] = min
      box.max[axis] = max
    }
  }
  return box
}
