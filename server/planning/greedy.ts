import { dropOffers } from './drop.ts'
import { mayLeaveOut, type Problem, type Solution, serve } from './problem.ts'

type EntryWay = { entry: number; cost: number }
type Star = { offer: number; entries: number[]; average: number }

/** For each offer the entries that it can serve and by what, cheapest first. */
function byOffer({ prices, ways }: Problem): EntryWay[][] {
  const found: EntryWay[][] = prices.map(() => [])
  ways.forEach((entryWays, entry) => {
    for (const { offer, cost } of entryWays) found[offer]?.push({ entry, cost })
  })
  for (const list of found) list.sort((one, other) => one.cost - other.cost || one.entry - other.entry)
  return found
}

/**
 * The stars of a problem while entries are served one by one. An average only rises as entries leave, so an old one is
 * a lower bound, and few have to be worked out again.
 */
class Stars {
  readonly #prices: readonly number[]
  readonly #ways: EntryWay[][]
  readonly #atLeast: Float64Array

  constructor(problem: Problem) {
    this.#prices = problem.prices
    this.#ways = byOffer(problem)
    const all = new Set(problem.ways.keys())
    this.#atLeast = Float64Array.from(problem.prices, (_, offer) => this.#star(offer, all).average)
  }

  /** The star of least average among the entries that wait, which may only become fewer. */
  best(waiting: ReadonlySet<number>, mayOpen: (offer: number) => boolean): Star | undefined {
    let best: Star | undefined
    const look = (offer: number | undefined) => {
      const star = offer === undefined ? undefined : this.#renewed(offer, waiting, mayOpen)
      if (star && (!best || star.average < best.average)) best = star
    }
    // Begun with what is likely to be the best, few others are worth a look.
    look(this.#least())
    for (let offer = 0; offer < this.#atLeast.length; offer++) {
      if ((this.#atLeast[offer] ?? 0) < (best?.average ?? Number.POSITIVE_INFINITY)) look(offer)
    }
    return best
  }

  /** @returns undefined where the offer may not be opened, which it never may again */
  #renewed(offer: number, waiting: ReadonlySet<number>, mayOpen: (offer: number) => boolean): Star | undefined {
    const star = this.#star(offer, waiting)
    this.#atLeast[offer] = mayOpen(offer) ? star.average : Number.POSITIVE_INFINITY
    return this.#atLeast[offer] < Number.POSITIVE_INFINITY ? star : undefined
  }

  /** The offer whose star may be the best by what is known. */
  #least(): number | undefined {
    let best: number | undefined
    let least = Number.POSITIVE_INFINITY
    for (let offer = 0; offer < this.#atLeast.length; offer++) {
      const average = this.#atLeast[offer] ?? least
      if (average >= least) continue
      best = offer
      least = average
    }
    return best
  }

  #star(offer: number, waiting: ReadonlySet<number>): Star {
    return starOf(offer, this.#prices[offer] ?? 0, this.#ways[offer] ?? [], waiting)
  }
}

/** The entries to serve by an offer so that price and costs come cheapest on average. */
function starOf(offer: number, price: number, list: readonly EntryWay[], waiting: ReadonlySet<number>): Star {
  const star: Star = { offer, entries: [], average: Number.POSITIVE_INFINITY }
  let sum = price
  for (const { entry, cost } of list) {
    if (!waiting.has(entry) || star.entries.includes(entry)) continue
    const average = (sum + cost) / (star.entries.length + 1)
    if (average > star.average) break
    sum += cost
    star.average = average
    star.entries.push(entry)
  }
  return star
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
