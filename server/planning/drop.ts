import { type Problem, type Solution, serve, servedBy, type Way } from './problem.ts'

/** Closes offers, the one that saves most first, for as long as one saves anything and leaves no further entry out. */
export function dropOffers(solution: Solution, problem: Problem): Solution {
  const savings = new Savings(problem, solution.open)
  for (;;) {
    const best = savings.best()
    if (best === undefined) return serve(problem, savings.open)
    savings.close(best)
  }
}

/** What an entry would lose if an offer that it uses were closed; infinite where nothing else would serve it. */
type Loss = { offer: number; cost: number }

/** What closing each open offer would save, kept up to date while they are closed one by one. */
class Savings {
  readonly open: boolean[]
  readonly #problem: Problem
  readonly #ways: (readonly Way[])[]
  readonly #losses: Loss[][] = []
  /** for each offer the entries that use it, or would fall back on it */
  readonly #concerned: Set<number>[]
  readonly #saved: Float64Array
  /** for each offer, how many entries it alone serves */
  readonly #needed: Int32Array

  constructor(problem: Problem, open: readonly boolean[]) {
    this.open = [...open]
    this.#problem = problem
    this.#ways = problem.ways.map((ways) => ways.filter(({ offer }) => open[offer]))
    this.#concerned = problem.prices.map(() => new Set())
    this.#saved = Float64Array.from(problem.prices)
    this.#needed = new Int32Array(problem.prices.length)
    for (const entry of problem.ways.keys()) this.#weigh(entry)
  }

  /** @returns the offer to close, or undefined where none saves anything */
  best(): number | undefined {
    let best: number | undefined
    let most = 0
    for (let offer = 0; offer < this.open.length; offer++) {
      const saved = this.#saved[offer] ?? 0
      const mayClose = this.open[offer] && this.#problem.prices[offer] !== 0 && this.#needed[offer] === 0
      if (!mayClose || saved <= most) continue
      best = offer
      most = saved
    }
    return best
  }

  close(offer: number): void {
    this.open[offer] = false
    const concerned = this.#concerned[offer] ?? new Set()
    this.#concerned[offer] = new Set()
    for (const entry of concerned) {
      for (const loss of this.#losses[entry] ?? []) this.#count(loss, -1)
      this.#ways[entry] = this.#ways[entry]?.filter((way) => way.offer !== offer) ?? []
      this.#weigh(entry)
    }
  }

  #weigh(entry: number): void {
    const ways = this.#ways[entry]?.filter(({ offer }) => this.open[offer]) ?? []
    const now = servedBy(ways, this.#problem, entry)
    const used = new Set(now.parts.map(({ way }) => way.offer))
    this.#losses[entry] = Array.from(used, (offer) => {
      const others = ways.filter((way) => way.offer !== offer)
      const then = servedBy(others, this.#problem, entry)
      for (const { way } of then.parts) this.#concerned[way.offer]?.add(entry)
      return { offer, cost: then.parts.length > 0 ? then.cost - now.cost : Number.POSITIVE_INFINITY }
    })
    for (const offer of used) this.#concerned[offer]?.add(entry)
    for (const loss of this.#losses[entry] ?? []) this.#count(loss, 1)
  }

  #count({ offer, cost }: Loss, times: 1 | -1): void {
    if (cost === Number.POSITIVE_INFINITY) this.#needed[offer] = (this.#needed[offer] ?? 0) + times
    else this.#saved[offer] = (this.#saved[offer] ?? 0) - times * cost
  }
}
