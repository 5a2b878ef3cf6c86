import type { Problem, Way } from './problem.ts'

/** Which offers are open, and how each entry is served; undefined: it goes without. */
export type Solution = {
  open: boolean[]
  served: (Way | undefined)[]
  leftOut: number
  /** prices of the open offers and costs of the entries that are served */
  objective: number
}

/**
 * A good plan at once: again and again the offer whose price, shared among the entries that it would serve, comes
 * cheapest; then offers are dropped that do not pay.
 *
 * @see Hochbaum (1982), Heuristics for the fixed cost median problem, for the first part
 */
export function greedyThenDrop(problem: Problem): Solution {
  return dropOffers(greedyStars(problem), problem)
}

/** The first part alone: stars of least average cost, never beyond the budget or a limit. */
export function greedyStars(problem: Problem): Solution {
  const open = problem.prices.map((price) => price === 0)
  const waiting = new Set(problem.ways.keys())
  for (const entry of waiting) if (problem.ways[entry]?.some(({ offer }) => open[offer])) waiting.delete(entry)
  const waysOfOffer = byOffer(problem)
  let spent = 0
  while (waiting.size > 0) {
    const star = bestStar(problem, waysOfOffer, open, waiting, spent)
    if (!star) break
    open[star.offer] = true
    spent += problem.prices[star.offer] ?? 0
    for (const entry of star.entries) waiting.delete(entry)
  }
  return serve(problem, open)
}

type EntryWay = { entry: number; cost: number }
type Star = { offer: number; entries: number[]; average: number }

/** For each offer the entries that it can serve, cheapest first. */
function byOffer({ prices, ways }: Problem): EntryWay[][] {
  const found: EntryWay[][] = prices.map(() => [])
  ways.forEach((entryWays, entry) => {
    for (const { offer, cost } of entryWays) found[offer]?.push({ entry, cost })
  })
  for (const list of found) list.sort((one, other) => one.cost - other.cost || one.entry - other.entry)
  return found
}

function bestStar(
  problem: Problem,
  waysOfOffer: readonly EntryWay[][],
  open: readonly boolean[],
  waiting: ReadonlySet<number>,
  spent: number,
): Star | undefined {
  let best: Star | undefined
  waysOfOffer.forEach((list, offer) => {
    if (open[offer] || !mayOpen(offer, problem, open, spent)) return
    const star = starOf(offer, problem.prices[offer] ?? 0, list, waiting)
    if (star.entries.length > 0 && (!best || star.average < best.average)) best = star
  })
  return best
}

/** The entries to serve by an offer so that price and costs come cheapest on average. */
function starOf(offer: number, price: number, list: readonly EntryWay[], waiting: ReadonlySet<number>): Star {
  const star: Star = { offer, entries: [], average: Number.POSITIVE_INFINITY }
  let sum = price
  for (const { entry, cost } of list) {
    if (!waiting.has(entry)) continue
    const average = (sum + cost) / (star.entries.length + 1)
    if (average > star.average) break
    sum += cost
    star.average = average
    star.entries.push(entry)
  }
  return star
}

function mayOpen(offer: number, { prices, budget, limits }: Problem, open: readonly boolean[], spent: number): boolean {
  if (budget !== undefined && spent + (prices[offer] ?? 0) > budget) return false
  return limits.every(({ offers, most }) => {
    return !offers.includes(offer) || offers.filter((other) => open[other]).length < most
  })
}

/** Every entry by its cheapest open way; of equal ones by the cheapest offer, so that no needless one is bought. */
export function serve(problem: Problem, open: readonly boolean[]): Solution {
  const { prices } = problem
  const served = problem.ways.map((ways) => {
    let best: Way | undefined
    for (const way of ways) if (open[way.offer] && (!best || isCheaper(way, best, prices))) best = way
    return best
  })
  const costs = served.reduce((sum, way) => sum + (way?.cost ?? 0), 0)
  return {
    open: [...open],
    served,
    leftOut: served.filter((way) => !way).length,
    objective: costs + prices.reduce((sum, price, offer) => sum + (open[offer] ? price : 0), 0),
  }
}

function isCheaper(one: Way, other: Way, prices: readonly number[]): boolean {
  return one.cost < other.cost || (one.cost === other.cost && (prices[one.offer] ?? 0) < (prices[other.offer] ?? 0))
}

/** Closes offers, the one that saves most first, for as long as one saves anything and leaves no further entry out. */
export function dropOffers(solution: Solution, problem: Problem): Solution {
  const open = [...solution.open]
  for (;;) {
    const saved = savings(problem, open)
    const best = saved.reduce((most, saving, offer) => (saving > (saved[most] ?? 0) ? offer : most), -1)
    if (best < 0) return serve(problem, open)
    open[best] = false
  }
}

/** What closing each open offer would save; minus infinity where it cannot be closed. */
function savings(problem: Problem, open: readonly boolean[]): number[] {
  const saved = problem.prices.map((price, offer) => (open[offer] && price > 0 ? price : Number.NEGATIVE_INFINITY))
  for (const ways of problem.ways) {
    const { first, second } = twoCheapest(ways, open, problem.prices)
    if (first)
      saved[first.offer] = (saved[first.offer] ?? 0) - ((second?.cost ?? Number.POSITIVE_INFINITY) - first.cost)
  }
  return saved
}

function twoCheapest(ways: readonly Way[], open: readonly boolean[], prices: readonly number[]) {
  let first: Way | undefined
  let second: Way | undefined
  for (const way of ways) {
    if (!open[way.offer]) continue
    if (!first || isCheaper(way, first, prices)) {
      second = first
      first = way
    } else if (!second || isCheaper(way, second, prices)) second = way
  }
  return { first, second }
}
