/**
 * Kendall's tau-b: how far two orders agree, from -1 to 1, ties taken into account.
 *
 * @returns NaN where one of the two has nothing but ties
 * @see Kendall (1945), The treatment of ties in ranking problems, Biometrika 33, 239-251
 */
export function kendallTau(one: readonly number[], other: readonly number[]): number {
  let agree = 0
  let [untiedOne, untiedOther] = [0, 0]
  for (let i = 0; i < one.length; i++) {
    for (let j = 0; j < i; j++) {
      const a = Math.sign((one[i] ?? 0) - (one[j] ?? 0))
      const b = Math.sign((other[i] ?? 0) - (other[j] ?? 0))
      agree += a * b
      untiedOne += a * a
      untiedOther += b * b
    }
  }
  return agree / Math.sqrt(untiedOne * untiedOther)
}

/** A mean that is made one value at a time; NaN while there is none. */
export class Mean {
  #sum = 0
  #count = 0

  add(value: number, times = 1): void {
    this.#sum += value * times
    this.#count += times
  }

  get value(): number {
    return this.#sum / this.#count
  }

  get count(): number {
    return this.#count
  }
}
