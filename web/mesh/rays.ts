import { Refusal } from './refusal.ts'
import type { Solid } from './solid.ts'

/** Parallel rays, at the middles of a grid's cells: `columns` along one axis, `rows` along another. */
export interface Grid {
  /** The axis that rays go along, then those of columns and rows; 0 is x, 1 is y, 2 is z. */
  axes: readonly [along: number, column: number, row: number]
  /** Where the first cell begins, how wide a cell is, and how many there are. */
  column: Steps
  row: Steps
}

export interface Steps {
  from: number
  step: number
  count: number
}

/** So many crossings are gone through within a minute; a figure has some millions. */
const mostCrossings = 1e9

/** Whether surfaces lie over each other so often that rays this far apart meet too many. @param castMm2 how large all triangles are along the rays */
export const isTooMany = (castMm2: number, columnMm: number, rowMm: number): boolean =>
  castMm2 / (columnMm * rowMm) > mostCrossings

/** Says that not even rays far apart can go through. */
export const tangled = (): Refusal => new Refusal('These surfaces overlap so many times that they can’t be measured.')

/** @param ray row * columns + column @param at where along its axis @param isExit whether it leaves there what it has come through */
export type Visit = (ray: number, at: number, isExit: boolean) => void

/**
 * Tells every crossing of a ray with a triangle. Two triangles that share an edge share no ray and leave none out, since
 * where an edge passes a row is reckoned alike from both sides.
 *
 * @param turned 1 for each triangle that faces inwards, if there are any
 */
export function castRays(solid: Solid, turned: Uint8Array | null, grid: Grid, visit: Visit): void {
  const [along, across, up] = grid.axes
  const { from: c0, step: dc, count: columns } = grid.column
  const { from: r0, step: dr, count: rows } = grid.row
  // Whether columns, rows and the ray's direction are right-handed in this order.
  const isRightHanded = (across + 1) % 3 === up
  const top = r0 + rows * dr
  for (let at = 0, triangle = 0; at < solid.length; at += 9, triangle++) {
    const ra = solid[at + up] as number
    const rb = solid[at + 3 + up] as number
    const rc = solid[at + 6 + up] as number
    if ((ra < r0 && rb < r0 && rc < r0) || (ra >= top && rb >= top && rc >= top)) continue
    let low = Math.min(ra, rb, rc)
    let high = Math.max(ra, rb, rc)
    let row = low <= r0 ? 0 : Math.ceil((low - r0) / dr - 0.5)
    let last = Math.min(rows - 1, Math.ceil((high - r0) / dr - 0.5) - 1)
    // Rounding must not decide about a row that goes through a corner: the comparisons below do, alike for all triangles.
    if (row > 0 && r0 + (row - 0.5) * dr >= low) row--
    if (last < rows - 1 && r0 + (last + 1.5) * dr < high) last++
    if (row > last) continue
    const ca = solid[at + across] as number
    const cb = solid[at + 3 + across] as number
    const cc = solid[at + 6 + across] as number
    const wa = solid[at + along] as number
    const wb = solid[at + 3 + along] as number
    const wc = solid[at + 6 + along] as number
    // The normal, in columns, rows and along.
    const nw = (cb - ca) * (rc - ra) - (rb - ra) * (cc - ca)
    if (nw === 0) continue
    const slopeC = ((rb - ra) * (wc - wa) - (wb - wa) * (rc - ra)) / nw
    const slopeR = ((wb - wa) * (cc - ca) - (cb - ca) * (wc - wa)) / nw
    const isExit = nw > 0 === (isRightHanded !== (turned !== null && turned[triangle] === 1))
    low = Math.min(wa, wb, wc)
    high = Math.max(wa, wb, wc)
    for (; row <= last; row++) {
      const r = r0 + (row + 0.5) * dr
      let begin = Infinity
      let end = -Infinity
      if (ra <= r !== rb <= r) {
        const c = ra < rb ? ca + ((r - ra) / (rb - ra)) * (cb - ca) : cb + ((r - rb) / (ra - rb)) * (ca - cb)
        begin = c
        end = c
      }
      if (rb <= r !== rc <= r) {
        const c = rb < rc ? cb + ((r - rb) / (rc - rb)) * (cc - cb) : cc + ((r - rc) / (rb - rc)) * (cb - cc)
        if (c < begin) begin = c
        if (c > end) end = c
      }
      if (rc <= r !== ra <= r) {
        const c = rc < ra ? cc + ((r - rc) / (ra - rc)) * (ca - cc) : ca + ((r - ra) / (rc - ra)) * (cc - ca)
        if (c < begin) begin = c
        if (c > end) end = c
      }
      if (begin === Infinity) continue
      const first = Math.max(0, Math.ceil((begin - c0) / dc - 0.5))
      const beyond = Math.min(columns, Math.ceil((end - c0) / dc - 0.5))
      for (let column = first; column < beyond; column++) {
        const w = wa - (c0 + (column + 0.5) * dc - ca) * slopeC - (r - ra) * slopeR
        visit(row * columns + column, Math.min(Math.max(w, low), high), isExit)
      }
    }
  }
}
