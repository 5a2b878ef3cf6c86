import type { ModelData } from 'highs'
import { mayLeaveOut, type Problem } from './problem.ts'
import { prunedWays } from './prune.ts'
import { Rows } from './rows.ts'

/** What a model's columns say. */
export type Form = {
  data: ModelData
  /** @returns for each offer, whether it is open */
  openOffers: (values: ArrayLike<number>) => boolean[]
}

export type Aim =
  /** as few entries left out as can be */
  | { kind: 'cover' }
  /** the least sum of prices and costs, with at most so many entries left out */
  | { kind: 'cost'; leftOut: number }

/**
 * The facility location model with strong links: y (integer) opens a paid offer, x serves an entry by a way,
 * x <= y for each of them, and the x of an entry add up to 1. Given y, each entry takes its cheapest open way, so x
 * need not be integer.
 *
 * @see Cornuejols, Nemhauser & Wolsey (1990), The uncapacitated facility location problem
 */
export function formP(problem: Problem, aim: Aim): Form {
  const rows = new Rows()
  const ways = prunedWays(problem)
  const y = offerColumns(rows, ways, problem, aim)
  const leftOut: number[] = []
  for (const entryWays of ways) {
    const x = entryWays.map(({ cost }) => rows.column(aim.kind === 'cost' ? cost : 0))
    if (mayLeaveOut(problem)) leftOut.push(rows.column(aim.kind === 'cover' ? 1 : 0))
    const served = mayLeaveOut(problem) ? [...x, leftOut.at(-1) ?? 0] : x
    rows.row(1, 1, served.map(one))
    entryWays.forEach(({ offer }, index) => {
      const open = y.get(offer)
      if (open !== undefined) rows.row(Number.NEGATIVE_INFINITY, 0, [one(x[index] ?? 0), [open, -1]])
    })
  }
  if (aim.kind === 'cost' && leftOut.length > 0) rows.row(0, aim.leftOut, leftOut.map(one))
  sideRows(rows, y, problem)
  return { data: rows.data(), openOffers: (values) => openOffers(values, y, problem) }
}

/** One integer column for each paid offer that some way needs. */
export function offerColumns(
  rows: Rows,
  ways: readonly (readonly { offer: number }[])[],
  { prices }: Problem,
  aim: Aim,
): Map<number, number> {
  const needed = new Set(ways.flatMap((entryWays) => entryWays.map(({ offer }) => offer)))
  const y = new Map<number, number>()
  prices.forEach((price, offer) => {
    if (price > 0 && needed.has(offer)) y.set(offer, rows.column(aim.kind === 'cost' ? price : 0, { integer: true }))
  })
  return y
}

/** The budget, and the plans that are not to come out again. */
export function sideRows(rows: Rows, y: ReadonlyMap<number, number>, { prices, budget, limits }: Problem): void {
  if (budget !== undefined) {
    rows.row(
      Number.NEGATIVE_INFINITY,
      budget,
      Array.from(y, ([offer, column]) => [column, prices[offer] ?? 0] as const),
    )
  }
  for (const { offers, most } of limits) {
    const columns = [...new Set(offers)].map((offer) => y.get(offer)).filter((column) => column !== undefined)
    if (columns.length > most) rows.row(Number.NEGATIVE_INFINITY, most, columns.map(one))
  }
}

export function openOffers(values: ArrayLike<number>, y: ReadonlyMap<number, number>, { prices }: Problem): boolean[] {
  return prices.map((price, offer) => price === 0 || (values[y.get(offer) ?? -1] ?? 0) > 0.5)
}

function one(column: number): readonly [number, number] {
  return [column, 1]
}
