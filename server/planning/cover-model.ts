import { openIn, type PlanningModel, sideRows } from './model.ts'
import type { Problem } from './problem.ts'
import { ones, Rows } from './rows.ts'

/**
 * The model of the first solve, whatever things cost: y (integer) opens a paid offer, u is 1 for an entry that none of
 * its offers is open for, and as few of them as can be are.
 *
 * @see Church & ReVelle (1974), The maximal covering location problem
 */
export function coverModel(problem: Problem): Pick<PlanningModel, 'data' | 'openOffers'> {
  const rows = new Rows()
  const y = new Map<number, number>()
  for (const ways of problem.ways) {
    const offers = new Set(ways.map(({ offer }) => offer))
    if ([...offers].some((offer) => problem.prices[offer] === 0)) continue
    for (const offer of offers) if (!y.has(offer)) y.set(offer, rows.column(0, { integer: true }))
    const leftOut = rows.column(1)
    const opened = Array.from(offers, (offer) => y.get(offer) ?? 0)
    rows.row(1, Number.POSITIVE_INFINITY, ones([...opened, leftOut]))
  }
  sideRows(rows, y, problem)
  return { data: rows.data(), openOffers: (values) => openIn(values, y, problem) }
}
