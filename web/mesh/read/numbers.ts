/** A list of numbers that grows; a plain array of millions would take several times the room. */
export class Numbers {
  length = 0
  #list = new Float64Array(48)

  add(one: number, two: number, three: number): void {
    if (this.length + 3 > this.#list.length) {
      const larger = new Float64Array(this.#list.length * 2)
      larger.set(this.#list)
      this.#list = larger
    }
    this.#list[this.length] = one
    this.#list[this.length + 1] = two
    this.#list[this.length + 2] = three
    this.length += 3
  }

  /** @throws RangeError beyond the end */
  at(place: number): number {
    const value = place < this.length ? this.#list[place] : undefined
    if (value === undefined) throw new RangeError(`${place} is beyond ${this.length}`)
    return value
  }
}
