/** A mean that is made one value at a time; NaN while there is none. */
export class Mean {
  #sum = 0
  #squares = 0
  #count = 0

  add(value: number, times = 1): void {
    this.#sum += value * times
    this.#squares += value * value * times
    this.#count += times
  }

  get value(): number {
    return this.#sum / this.#count
  }

  get count(): number {
    return this.#count
  }

  /** Of the mean, as if all values were drawn alone; those of one group are not quite. */
  get standardError(): number {
    const variance = this.#squares / this.#count - this.value ** 2
    return Math.sqrt(Math.max(0, variance) / this.#count)
  }
}

/** What was said, and what came true, by how much was said: bins of the same width from 0 to 1. */
export class Reliability {
  readonly bins: readonly { said: Mean; came: Mean }[]

  constructor(bins = 10) {
    this.bins = Array.from({ length: bins }, () => ({ said: new Mean(), came: new Mean() }))
  }

  add(said: number, came: number): void {
    const bin = this.bins[Math.min(this.bins.length - 1, Math.floor(said * this.bins.length))]
    bin?.said.add(said)
    bin?.came.add(came)
  }

  /** The largest difference of a bin with so many cases at least. */
  worst(cases: number): number {
    const full = this.bins.filter(({ said }) => said.count >= cases)
    return Math.max(0, ...full.map(({ said, came }) => Math.abs(said.value - came.value)))
  }
}

/** The value in the middle; NaN where there is none. */
export function median(values: readonly number[]): number {
  const sorted = values.toSorted((one, other) => one - other)
  const half = sorted.length >> 1
  const [below = Number.NaN, above = Number.NaN] = [sorted[half - 1], sorted[half]]
  return sorted.length % 2 === 1 ? above : (below + above) / 2
}
