import type { Problem, Way } from './problem.ts'

/**
 * Leaves out ways that no best plan needs: an entry never pays more than by opening some offer for it alone. That
 * holds only for offers that can always be opened as well: under a budget those at price 0, and none that a limit
 * names. Of several ways through offers at price 0 the cheapest is kept.
 *
 * @returns the ways of each entry, in the same order
 */
export function prunedWays(problem: Problem): Way[][] {
  const limited = new Set(problem.limits.flatMap(({ offers }) => offers))
  return problem.ways.map((ways) => {
    const best = ways.reduce((least, way) => Math.min(least, capOf(way, problem, limited)), Number.POSITIVE_INFINITY)
    const free = cheapestFree(ways, problem.prices)
    return ways.filter((way) => {
      if (priceOf(way, problem) === 0) return way === free && way.cost <= best
      return way.cost <= best && !(free && free.cost <= way.cost)
    })
  })
}

/** Most that an entry pays which could take this way alone. */
function capOf(way: Way, problem: Problem, limited: ReadonlySet<number>): number {
  const price = priceOf(way, problem)
  const always = !limited.has(way.offer) && (problem.budget === undefined || price === 0)
  return always ? way.cost + price : Number.POSITIVE_INFINITY
}

function cheapestFree(ways: readonly Way[], prices: readonly number[]): Way | undefined {
  let best: Way | undefined
  for (const way of ways) if (prices[way.offer] === 0 && (!best || way.cost < best.cost)) best = way
  return best
}

function priceOf({ offer }: Way, { prices }: Problem): number {
  return prices[offer] ?? 0
}
