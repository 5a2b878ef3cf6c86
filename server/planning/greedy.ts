import { dropOffers } from './drop.ts'
import { mayLeaveOut, type Problem } from './problem.ts'
import { type Solution, serve } from './serve.ts'
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
