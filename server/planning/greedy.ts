import { mayLeaveOut, type Problem } from './problem.ts'
import { type Solution, serve, servedBy } from './serve.ts'
import { Stars } from './stars.ts'

/**
 * A good plan at once: again and again the offer whose price, shared among the entries that it would serve, comes
 * cheapest; then offers are dropped that do not pay.
 *
 * @see Hochbaum (1982), Heuristics for the fixed cost median problem, for the first part
 */
export function greedyThenDrop(problem: Problem): Solution {
  return dropOffers(greedyStars(problem), problem)
}

/**
 * The first part alone: stars of least average cost, never beyond the budget or a limit. Where some entry may have to
 * go without, those that nothing at price 0 can serve are looked after first.
 */
export function greedyStars(problem: Problem): Solution {
  const open = problem.prices.map((price) => price === 0)
  const isNeedy = (entry: number) => !problem.ways[entry]?.some(({ offer }) => problem.prices[offer] === 0)
  const entries = [...problem.ways.keys()]
  if (mayLeaveOut(problem)) {
    openStars(problem, open, entries.filter(isNeedy))
    openStars(
      problem,
      open,
      entries.filter((entry) => !isNeedy(entry)),
    )
  } else openStars(problem, open, entries)
  return serve(problem, open)
}

function openStars(problem: Problem, open: boolean[], entries: readonly number[]): void {
  const waiting = new Set(entries)
  const stars = new Stars(problem)
  while (waiting.size > 0) {
    const star = stars.best(waiting, (offer) => mayOpen(offer, problem, open))
    if (!star) break
    open[star.offer] = true
    for (const entry of star.entries) waiting.delete(entry)
  }
}

/** What costs nothing serves again and again; what has been bought serves whom it can in the end anyway. */
function mayOpen(offer: number, { prices, budget, limits }: Problem, open: readonly boolean[]): boolean {
  if (prices[offer] === 0) return true
  if (open[offer]) return false
  const spent = prices.reduce((sum, price, other) => sum + (open[other] ? price : 0), 0)
  if (budget !== undefined && spent + (prices[offer] ?? 0) > budget) return false
  return limits.every(({ offers, most }) => {
    return !offers.includes(offer) || offers.filter((other) => open[other]).length < most
  })
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
  problem.ways.forEach((ways, entry) => {
    const openWays = ways.filter(({ offer }) => open[offer])
    const now = servedBy(openWays, problem, entry)
    for (const offer of new Set(now.parts.map(({ way }) => way.offer))) {
      const then = servedBy(
        openWays.filter((way) => way.offer !== offer),
        problem,
        entry,
      )
      saved[offer] = then.parts.length > 0 ? (saved[offer] ?? 0) - (then.cost - now.cost) : Number.NEGATIVE_INFINITY
    }
  })
  return saved
}
