// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { unknown } from './labels.ts'
import { crowdings } from './model.ts'
import type { Plate, Print } from './plates.ts'

/** Numbers that become more, one at a time. */
class Column<Numbers extends Uint8Array | Int32Array | Float64Array> {
  length = 0
  #numbers: Numbers

  constructor(numbers: Numbers) {
    this.#numbers = numbers
  }

  push(number: number): void {
    if (this.length === this.#numbers.length) {
      const longer = new (this.#numbers.constructor as new (length: number) => Numbers)(2 * this.length)
      longer.set(this.#numbers)
      this.#numbers = longer
    }
    this.#numbers[this.length++] = number
  }

  get numbers(): Numbers {
    return this.#numbers.subarray(0, this.length) as Numbers
  }
}

const bytes = () => new Column(new Uint8Array(16))
const integers = () => new Column(new Int32Array(16))
const reals = () => new Column(new Float64Array(16))

/** Names by number, in the order in which they came. */
class Names {
  readonly list: string[] = []
  readonly #numbers = new Map<string, number>()

  numberOf(name: string): number {
    const known = this.#numbers.get(name)
    if (known !== undefined) return known
    this.#numbers.set(name, this.list.length)
    return this.list.push(name) - 1
  }
}

/** Plates as they come, in columns: a million of them take a tenth of the memory that as many objects would. */
export class PlateColumns {
  readonly labelCount: number
  readonly plateIds: string[] = []
  readonly periods = new Names()
  readonly lines = new Names()
  readonly sculptors = new Names()
  /** by plate */
  readonly period = integers()
  readonly crowding = bytes()
  readonly day = reals()
  readonly printEnd = integers()
  /** by line */
  readonly sculptor = integers()
  /** by print; ids only of those with failures */
  readonly printIds: string[] = []
  readonly line = integers()
  readonly tried = integers()
  readonly fileWeight = reals()
  readonly failedEnd = integers()
  /** by failed copy, its label; `labelCount` for "don't know" */
  readonly seen = bytes()
  readonly #labels: ReadonlyMap<string, number>

  /** @param labels those that tell something */
  constructor(labels: readonly string[]) {
    this.labelCount = labels.length
    this.#labels = new Map([...labels.map((label, index) => [label, index] as const), [unknown, labels.length]])
  }

  /** @throws RangeError when a count or weight makes no sense, a label is unknown, or a line has two sculptors */
  add({ id, period, crowding, day, prints }: Plate): void {
    const index = crowdings.indexOf(crowding)
    if (index < 0) throw new RangeError(`unknown crowding "${crowding}"`)
    this.plateIds.push(id)
    this.period.push(this.periods.numberOf(period))
    this.crowding.push(index)
    this.day.push(day)
    for (const print of prints) this.#addPrint(print)
    this.printEnd.push(this.line.length)
  }

  #addPrint({ id = '', line, sculptor, good, failures, fileWeight = 1 }: Print): void {
    this.line.push(this.#lineOf(line, sculptor))
    const before = this.seen.length
    for (const { seen, copies } of failures) this.#addFailures(seen, count(copies))
    this.tried.push(count(good) + this.seen.length - before)
    this.failedEnd.push(this.seen.length)
    this.printIds.push(this.seen.length > before ? id : '')
    this.fileWeight.push(weight(fileWeight))
  }

  #lineOf(name: string, sculptorName: string): number {
    const line = this.lines.numberOf(name)
    const sculptor = this.sculptors.numberOf(sculptorName)
    if (line === this.sculptor.length) this.sculptor.push(sculptor)
    if (this.sculptor.numbers[line] !== sculptor) throw new RangeError(`line "${name}" is two sculptors'`)
    return line
  }

  #addFailures(seen: string, copies: number): void {
    const label = this.#labels.get(seen)
    if (label === undefined) throw new RangeError(`unknown label "${seen}"`)
    for (let copy = 0; copy < copies; copy++) this.seen.push(label)
  }
}

function count(copies: number): number {
  if (!Number.isSafeInteger(copies) || copies < 0) throw new RangeError('copies must be whole numbers >= 0')
  return copies
}

function weight(value: number): number {
  if (!(value > 0 && value <= 1)) throw new RangeError('a weight must be above 0 and at most 1')
  return value
}
