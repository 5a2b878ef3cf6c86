/** A stream of random numbers that is the same for the same seed, so that the same reports always show the same. */
export class Random {
  #a = 0
  #b = 0x9e3779b9 | 0
  #c = 0x243f6a88 | 0
  #counter = 1
  #spare = Number.NaN

  /** @param seed any whole number */
  constructor(seed: number) {
    this.#a = seed | 0
    for (let warmUp = 0; warmUp < 16; warmUp++) this.uniform()
  }

  /**
   * Evenly between 0 and 1, never 0 or 1.
   *
   * @see Doty-Humphrey, "Small Fast Counting" generator of PractRand: three words of chaos and a counter
   */
  uniform(): number {
    const sum = (this.#a + this.#b + this.#counter) | 0
    this.#counter = (this.#counter + 1) | 0
    this.#a = this.#b ^ (this.#b >>> 9)
    this.#b = (this.#c + (this.#c << 3)) | 0
    this.#c = (((this.#c << 21) | (this.#c >>> 11)) + sum) | 0
    return ((sum >>> 0) + 0.5) / 4294967296
  }

  /** Standard normal. @see Marsaglia & Bray (1964), A convenient method for generating normal variables */
  normal(): number {
    const spare = this.#spare
    if (!Number.isNaN(spare)) {
      this.#spare = Number.NaN
      return spare
    }
    for (;;) {
      const u = 2 * this.uniform() - 1
      const v = 2 * this.uniform() - 1
      const square = u * u + v * v
      if (square >= 1) continue
      const factor = Math.sqrt((-2 * Math.log(square)) / square)
      this.#spare = v * factor
      return u * factor
    }
  }

  /** One of the first `count` places, each as often as it weighs. */
  index(weights: ArrayLike<number>, count = weights.length): number {
    let rest = 0
    for (let place = 0; place < count; place++) rest += weights[place] ?? 0
    rest *= this.uniform()
    let index = 0
    while (index < count - 1) {
      rest -= weights[index] ?? 0
      if (rest < 0) break
      index++
    }
    return index
  }

  /**
   * Logarithm of a gamma variable, which does not underflow for small shapes.
   *
   * @param shape > 0
   * @see Marsaglia & Tsang (2000), A simple method for generating gamma variables, ACM TOMS 26, 363-372
   */
  logGamma(shape: number): number {
    if (shape < 1) return this.logGamma(shape + 1) + Math.log(this.uniform()) / shape
    return Math.log(this.#gamma(shape))
  }

  /** @param shape >= 1 */
  #gamma(shape: number): number {
    const d = shape - 1 / 3
    const c = 1 / Math.sqrt(9 * d)
    for (;;) {
      const x = this.normal()
      const t = 1 + c * x
      if (t <= 0) continue
      const v = t * t * t
      const u = this.uniform()
      if (u < 1 - 0.0331 * x * x * x * x || Math.log(u) < 0.5 * x * x + d - d * v + d * Math.log(v)) return d * v
    }
  }

  /**
   * The odds of failure, q / p, of a chance p that is Beta(a, b): exact at both ends.
   *
   * @param a > 0
   * @param b > 0
   */
  betaOdds(a: number, b: number): number {
    if (a >= 1 && b >= 1) return this.#gamma(b) / this.#gamma(a)
    return Math.exp(this.logGamma(b) - this.logGamma(a))
  }

  /** Beta(a, b). */
  beta(a: number, b: number): number {
    return 1 / (1 + this.betaOdds(a, b))
  }

  /**
   * The next value of something that is not drawn directly: anywhere above a level under the density at the present one.
   *
   * @param at where it is
   * @param log logarithm of its density but for a constant, on a scale on which 1 is a usual step
   * @see Neal (2003), Slice sampling, Annals of Statistics 31, 705-767 (stepping out, shrinkage)
   */
  slice(at: number, log: (value: number) => number): number {
    const level = log(at) + Math.log(this.uniform())
    let low = at - this.uniform()
    let high = low + 1
    while (log(low) > level) low--
    while (log(high) > level) high++
    for (;;) {
      const value = low + (high - low) * this.uniform()
      // The interval may shrink to where it is, when nothing else can be told from it.
      if (log(value) >= level || value === at) return value
      if (value < at) low = value
      else high = value
    }
  }
}
