import type { Problem, Way } from './problem.ts'

/** Which offers are open, and how each entry is served from them. */
export type Solution = {
  open: boolean[]
  served: Served[]
  /** entries that go without */
  leftOut: number
  /** prices of the open offers and costs of the entries that are served */
  objective: number
}

/** Nothing, one way, or two with the parts of the entry that each makes up. */
export type Served = { parts: Part[]; cost: number }

export type Part = { way: Way; part: number }

/** Serves every entry by its cheapest open way, or its two cheapest files where splitting it pays. */
export function serve(problem: Problem, open: readonly boolean[]): Solution {
  return solutionOf(
    problem,
    open,
    problem.ways.map((ways, entry) =>
      servedBy(
        ways.filter(({ offer }) => open[offer]),
        problem,
        entry,
      ),
    ),
  )
}

export function solutionOf({ prices }: Problem, open: readonly boolean[], served: Served[]): Solution {
  const costs = served.reduce((sum, { cost }) => sum + cost, 0)
  return {
    open: [...open],
    served,
    leftOut: served.filter(({ parts }) => parts.length === 0).length,
    objective: costs + prices.reduce((sum, price, offer) => sum + (open[offer] ? price : 0), 0),
  }
}

/** The best that an entry can get of these ways. */
export function servedBy(ways: readonly Way[], { prices, splits }: Problem, entry: number): Served {
  const first = cheapest(ways, prices)
  if (!first) return { parts: [], cost: 0 }
  const whole = { parts: [{ way: first, part: 1 }], cost: first.cost }
  const split = splits[entry]
  const second =
    split &&
    cheapest(
      ways.filter(({ choice }) => choice !== first.choice),
      prices,
    )
  if (!second) return whole
  const cost = first.cost + split.part * (second.cost - first.cost) - split.bonus
  if (cost >= whole.cost) return whole
  const parts = [
    { way: first, part: 1 - split.part },
    { way: second, part: split.part },
  ]
  return { parts, cost }
}

/** Among ways of the same cost, takes the one with the cheapest offer, so that no needless one is bought. */
function cheapest(ways: readonly Way[], prices: readonly number[]): Way | undefined {
  let best: Way | undefined
  for (const way of ways) if (!best || isCheaper(way, best, prices)) best = way
  return best
}

function isCheaper(one: Way, other: Way, prices: readonly number[]): boolean {
  return one.cost < other.cost || (one.cost === other.cost && (prices[one.offer] ?? 0) < (prices[other.offer] ?? 0))
}

/** @returns whether one is better: fewer entries left out, then less money */
export function isBetter(one: Solution, other: Solution): boolean {
  return one.leftOut < other.leftOut || (one.leftOut === other.leftOut && one.objective < other.objective)
}

/** The solver keeps to budgets and limits within its tolerance; this keeps to them exactly. */
export function isAllowed({ open }: Solution, { prices, budget, limits }: Problem): boolean {
  const spent = prices.reduce((sum, price, offer) => sum + (open[offer] ? price : 0), 0)
  if (budget !== undefined && spent > budget) return false
  return limits.every(({ offers, most }) => offers.filter((offer) => open[offer] && prices[offer]).length <= most)
}
