import { dropOffers } from './drop.ts'
import { isAllowed, isBetter, type Problem, type Solution, serve, type Way } from './problem.ts'

export type Reduced = {
  /** no solution that leaves nothing out costs less */
  bound: number
  /** the best that was found on the way, at least as good as what it began with */
  best: Solution
  /** ways of each entry that a solution as good as that can still use */
  ways: Way[][]
}

const mostRounds = 400
/** Rounds without a better bound after which the step is halved. */
const patience = 12
const smallestStep = 0.002
/** How often the offers that the relaxation would open are tried as a solution. */
const tryEvery = 15

/**
 * Bounds a problem from below by Lagrangian relaxation, and leaves out what cannot belong to a solution as good as the
 * best known: every entry gets a price that it would pay to be served, by subgradient steps, and an offer's price less
 * what the entries would pay beyond their costs says how much a solution with it comes to at least.
 *
 * @param known a solution that leaves nothing out
 * @param until `performance.now()` at which to stop at the latest
 * @see Beasley (1993), Lagrangean heuristics for location problems, European Journal of Operational Research 65
 */
export function reduced(problem: Problem, known: Solution, until = Number.POSITIVE_INFINITY): Reduced {
  const relaxation = new Relaxation(problem, known)
  let best = known
  let step = 2
  let stalled = 0
  for (let round = 1; round <= mostRounds && step > smallestStep; round++) {
    const isHigher = relaxation.evaluate()
    stalled = isHigher ? 0 : stalled + 1
    if (round % tryEvery === 0) best = better(relaxation.opened(), best, problem)
    if (best.objective - relaxation.bound < 1e-7 * Math.abs(best.objective)) break
    if (stalled >= patience) {
      step /= 2
      stalled = 0
      relaxation.return()
    }
    if (performance.now() > until || !relaxation.move(step, best.objective)) break
  }
  const { bound } = relaxation
  return { bound, best, ways: relaxation.waysWithin(best.objective) }
}

function better(open: readonly boolean[], best: Solution, problem: Problem): Solution {
  const solution = dropOffers(serve(problem, open), problem)
  return isAllowed(solution, problem) && isBetter(solution, best) ? solution : best
}

/** The problem without the rule that each entry is served once: what it pays for that is moved up and down instead. */
class Relaxation {
  readonly #problem: Problem
  /** what each entry pays, now and where the bound was highest */
  readonly #pays: Float64Array
  readonly #paysBest: Float64Array
  /** of each offer: its price less what its entries pay beyond their costs; negative: worth opening */
  readonly #worth: Float64Array
  readonly #worthBest: Float64Array
  /** of each entry: how often it is served too few times (1) or too many (negative) */
  readonly #missing: Float64Array
  bound = Number.NEGATIVE_INFINITY
  #value = Number.NEGATIVE_INFINITY

  constructor(problem: Problem, { served }: Solution) {
    this.#problem = problem
    const offerOf = served.map(({ parts }) => parts[0]?.way.offer ?? -1)
    const sharing = Map.groupBy(offerOf, (offer) => offer)
    this.#pays = Float64Array.from(served, ({ cost }, entry) => {
      const offer = offerOf[entry] ?? -1
      return cost + (problem.prices[offer] ?? 0) / (sharing.get(offer)?.length ?? 1)
    })
    this.#paysBest = this.#pays.slice()
    this.#worth = Float64Array.from(problem.prices)
    this.#worthBest = this.#worth.slice()
    this.#missing = new Float64Array(served.length)
  }

  /** Works out the relaxed optimum. @returns whether it is the highest bound so far */
  evaluate(): boolean {
    const [pays, worth, { ways, prices }] = [this.#pays, this.#worth, this.#problem]
    worth.set(prices)
    ways.forEach((entryWays, entry) => {
      const most = pays[entry] ?? 0
      for (const { offer, cost } of entryWays) if (cost < most) worth[offer] = (worth[offer] ?? 0) - (most - cost)
    })
    this.#value = sum(pays) + worth.reduce((total, value) => total + Math.min(0, value), 0)
    ways.forEach((entryWays, entry) => {
      const most = pays[entry] ?? 0
      let times = 0
      for (const { offer, cost } of entryWays) if (cost < most && (worth[offer] ?? 0) < 0) times++
      this.#missing[entry] = 1 - times
    })
    if (this.#value <= this.bound) return false
    this.bound = this.#value
    this.#paysBest.set(pays)
    this.#worthBest.set(worth)
    return true
  }

  /** Moves what the entries pay towards each being served once. @returns false if each is already */
  move(step: number, target: number): boolean {
    const length = this.#missing.reduce((total, missing) => total + missing * missing, 0)
    if (length === 0) return false
    const size = (step * Math.max(target - this.#value, 1e-6 * Math.abs(target))) / length
    this.#missing.forEach((missing, entry) => {
      this.#pays[entry] = (this.#pays[entry] ?? 0) + size * missing
    })
    return true
  }

  /** Goes on from where the bound was highest. */
  return(): void {
    this.#pays.set(this.#paysBest)
    this.evaluate()
  }

  /** What the relaxation would open, and what costs nothing. */
  opened(): boolean[] {
    return this.#problem.prices.map((price, offer) => price === 0 || (this.#worth[offer] ?? 0) < 0)
  }

  /** A way that would lift the bound above what is known already belongs to no better solution. */
  waysWithin(most: number): Way[][] {
    const left = most + 1e-6 * Math.max(1, Math.abs(most)) - this.bound
    return this.#problem.ways.map((entryWays, entry) => {
      const pays = this.#paysBest[entry] ?? 0
      return entryWays.filter(({ offer, cost }) => {
        return Math.max(0, this.#worthBest[offer] ?? 0) + Math.max(0, cost - pays) <= left
      })
    })
  }
}

function sum(numbers: Float64Array): number {
  return numbers.reduce((total, number) => total + number, 0)
}
