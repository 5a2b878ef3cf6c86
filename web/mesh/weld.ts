import type { Solid } from './solid.ts'

/** Corners that share a place, by the number of that place. */
export interface Welded {
  /** For each corner, which point it is. */
  points: Int32Array
  count: number
}

/**
 * Finds which corners are the same point: those whose coordinates are equal. Files write a shared corner alike in each of
 * its triangles, so nothing is rounded.
 *
 * @param solid coordinates in mm; changed in that -0 becomes 0
 */
export function weld(solid: Solid): Welded {
  for (let at = 0; at < solid.length; at++) solid[at] = (solid[at] as number) + 0
  const bits = new Int32Array(solid.buffer, solid.byteOffset, solid.length)
  const corners = solid.length / 3
  const points = new Int32Array(corners)
  // A closed mesh has half as many points as triangles, a sixth of its corners.
  let table: Int32Array = tableFor(corners / 6)
  // The corner at which each point was met first.
  const first = new Int32Array(corners)
  let count = 0
  for (let corner = 0; corner < corners; corner++) {
    let slot = slotOf(bits, corner, table.length)
    let point = (table[slot] as number) - 1
    while (point >= 0 && !isSame(bits, first[point] as number, corner)) {
      slot = (slot + 1) & (table.length - 1)
      point = (table[slot] as number) - 1
    }
    if (point < 0) {
      point = count++
      first[point] = corner
      table[slot] = count
      if (count * 2 > table.length) table = grown(table, bits, first, count)
    }
    points[corner] = point
  }
  return { points, count }
}

const tableFor = (count: number) => new Int32Array(2 ** Math.ceil(Math.log2(Math.max(count, 4) * 2.5)))

function grown(table: Int32Array, bits: Int32Array, first: Int32Array, count: number): Int32Array {
  const larger = new Int32Array(table.length * 2)
  for (let point = 0; point < count; point++) {
    let slot = slotOf(bits, first[point] as number, larger.length)
    while (larger[slot] !== 0) slot = (slot + 1) & (larger.length - 1)
    larger[slot] = point + 1
  }
  return larger
}

/** Mixes the bits of three numbers (multipliers are odd, from the golden ratio and MurmurHash3's final step; from memory). */
function slotOf(bits: Int32Array, corner: number, size: number): number {
  const at = corner * 3
  let hash = Math.imul(bits[at] as number, 0x9e3779b1)
  hash = Math.imul(hash ^ (hash >>> 15) ^ (bits[at + 1] as number), 0x85ebca6b)
  hash = Math.imul(hash ^ (hash >>> 13) ^ (bits[at + 2] as number), 0xc2b2ae35)
  return (hash ^ (hash >>> 16)) & (size - 1)
}

function isSame(bits: Int32Array, one: number, other: number): boolean {
  const a = one * 3
  const b = other * 3
  return bits[a] === bits[b] && bits[a + 1] === bits[b + 1] && bits[a + 2] === bits[b + 2]
}
