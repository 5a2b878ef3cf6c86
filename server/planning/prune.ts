import type { Problem, Way } from './problem.ts'

/**
 * Leaves out ways that no best plan needs: an entry never pays more than by opening some offer for it alone. That
 * holds only for offers that can always be opened as well: under a budget those at price 0, and none that a limit
 * names. Of several ways through offers at price 0 the cheapest is kept. Entries that may be split keep all.
 *
 * @returns the ways of each entry, in the same order
 */
export function prunedWays(problem: Problem): (readonly Way[])[] {
  const limited = new Set(problem.limits.flatMap(({ offers }) => offers))
  return problem.ways.map((ways, entry) => {
    if (problem.splits[entry]) return ways
    const cap = ways.reduce((least, way) => Math.min(least, capOf(way, problem, limited)), Number.POSITIVE_INFINITY)
    const free = cheapestFree(ways, problem)
    return ways.filter((way) => {
      if (way.cost > cap) return false
      return priceOf(way, problem) === 0 ? way === free : !(free && free.cost <= way.cost)
    })
  })
}

/** Most that an entry pays which could take this way alone. */
function capOf(way: Way, problem: Problem, limited: ReadonlySet<number>): number {
  const price = priceOf(way, problem)
  const always = !limited.has(way.offer) && (problem.budget === undefined || price === 0)
  return always ? way.cost + price : Number.POSITIVE_INFINITY
}

function cheapestFree(ways: readonly Way[], problem: Problem): Way | undefined {
  let best: Way | undefined
  for (const way of ways) if (priceOf(way, problem) === 0 && (!best || way.cost < best.cost)) best = way
  return best
}

function priceOf({ offer }: Way, { prices }: Problem): number {
  return prices[offer] ?? 0
}
