// biome-ignore-all lint/style/noNonNullAssertion: arrays indexed within their bounds by construction
import { compareText } from './compare.ts'
import { sumOf } from './draws.ts'
import { unknown } from './labels.ts'
import { crowdings } from './model.ts'
import type { Plate, Print } from './plates.ts'

/** Names by number, in the order in which they came. */
class Names {
  readonly list: string[] = []
  readonly #numbers = new Map<string, number>()

  numberOf(name: string): number {
    const number = this.#numbers.get(name) ?? this.list.push(name) - 1
    this.#numbers.set(name, number)
    return number
  }
}

/** Plates as they come, in columns: a million of them take a fraction of the memory that as many objects would. */
export class PlateColumns {
  readonly periods = new Names()
  readonly lines = new Names()
  readonly sculptors = new Names()
  /** by plate */
  readonly plateIds: string[] = []
  readonly period: number[] = []
  readonly crowding: number[] = []
  readonly day: number[] = []
  readonly printEnd: number[] = []
  /** by line */
  readonly sculptor: number[] = []
  /** by print; ids only of those with failures */
  readonly printIds: string[] = []
  readonly line: number[] = []
  readonly tried: number[] = []
  readonly fileWeight: number[] = []
  readonly failedEnd: number[] = []
  /** by failed copy, its label; the number of labels for "don't know" */
  readonly seen: number[] = []
  readonly #labels: readonly string[]

  /** @param labels those that tell something @throws RangeError as `add` */
  constructor(labels: readonly string[], plates: Iterable<Plate> = []) {
    this.#labels = [...labels, unknown]
    for (const plate of plates) this.add(plate)
  }

  /** @throws RangeError when a count or weight makes no sense, a label is unknown, or a line has two sculptors */
  add({ id, period, crowding, day, prints }: Plate): void {
    this.plateIds.push(id)
    this.period.push(this.periods.numberOf(period))
    this.crowding.push(placeIn(crowdings, crowding))
    this.day.push(day)
    for (const print of prints) this.#addPrint(print)
    this.printEnd.push(this.line.length)
  }

  #addPrint({ id = '', line: name, sculptor: sculptorName, good, failures, fileWeight = 1 }: Print): void {
    const [line, sculptor] = [this.lines.numberOf(name), this.sculptors.numberOf(sculptorName)]
    this.sculptor[line] ??= sculptor
    if (this.sculptor[line] !== sculptor) throw new RangeError(`line "${name}" is two sculptors'`)
    if (
      ![good, ...failures.map(({ copies }) => copies)].every((copies) => Number.isSafeInteger(copies) && copies >= 0)
    ) {
      throw new RangeError('copies must be whole numbers >= 0')
    }
    if (!(fileWeight > 0 && fileWeight <= 1)) throw new RangeError('a weight must be above 0 and at most 1')
    const before = this.seen.length
    for (const { seen, copies } of failures) {
      const label = placeIn(this.#labels, seen)
      for (let copy = 0; copy < copies; copy++) this.seen.push(label)
    }
    const failed = this.seen.length - before
    this.line.push(line)
    this.tried.push(good + failed)
    this.fileWeight.push(fileWeight)
    this.failedEnd.push(this.seen.length)
    this.printIds.push(failed > 0 ? id : '')
  }
}

function placeIn(words: readonly string[], word: string): number {
  const place = words.indexOf(word)
  if (place < 0) throw new RangeError(`"${word}" is none of ${words.join(', ')}`)
  return place
}

/**
 * A group's plates as flat arrays, so that a sweep reads memory forwards: periods by name, in each its plates in their
 * order, in each its prints, in each its failed copies. Lines stand by sculptor. Only lines are looked up at random.
 */
export type Layout = Readonly<ReturnType<typeof layOut>>

/**
 * Lays plates out. The order in which they were handed over does not matter.
 *
 * @param every a part alone: every so-manieth period, in the order of their names, with all of its plates
 */
export function layOut(columns: PlateColumns, every = 1) {
  const names = columns.periods.list.toSorted(compareText)
  const ranks = new Map(names.map((name, rank) => [name, rank]))
  const rank = Int32Array.from(columns.periods.list, (name) => ranks.get(name)!)
  const plates = plateOrder(columns, rank, every)
  const { order: prints, start: plateStart } = inOrder(plates, columns.printEnd)
  const { order: copies, start: printStart } = inOrder(prints, columns.failedEnd)
  const period = Int32Array.from(plates, (plate) => rank[columns.period[plate]!]! / every)
  const printTried = Int32Array.from(prints, (print) => columns.tried[print]!)
  return {
    ...linesOf(columns, prints),
    periods: names.filter((_, index) => index % every === 0),
    /** where a period's plates start; one more at the end, as in every `start` here */
    periodStart: startsOf(period),
    plateIds: Array.from(plates, (plate) => columns.plateIds[plate]!),
    period,
    crowding: Uint8Array.from(plates, (plate) => columns.crowding[plate]!),
    /** copies on the plate */
    tried: Int32Array.from(plates, (_, plate) => sumOf(printTried, plateStart[plate]!, plateStart[plate + 1]!)),
    plateStart,
    /** of prints with failures, where they have one; else empty */
    printIds: Array.from(prints, (print) => columns.printIds[print]!),
    printTried,
    /** worth for the file */
    fileWeight: Float64Array.from(prints, (print) => columns.fileWeight[print]!),
    printStart,
    /** by failed copy, its label; the number of labels for "don't know" */
    seen: Uint8Array.from(copies, (copy) => columns.seen[copy]!),
  }
}

/** Plates of every so-manieth period by period, day and id. */
function plateOrder({ period, day, plateIds }: PlateColumns, rank: Int32Array, every: number): Uint32Array {
  const chosen = Uint32Array.from(plateIds.keys()).filter((plate) => rank[period[plate]!]! % every === 0)
  return chosen.sort((one, other) => {
    return (
      rank[period[one]!]! - rank[period[other]!]! ||
      day[one]! - day[other]! ||
      compareText(plateIds[one]!, plateIds[other]!)
    )
  })
}

/**
 * What hangs on things, in the order of those things.
 *
 * @param end where what hangs on each ends
 * @returns the order of what hangs on them, and where that of each starts
 */
function inOrder(things: Uint32Array, end: readonly number[]): { order: Uint32Array; start: Int32Array } {
  const order = new Uint32Array(end.at(-1) ?? 0)
  const start = new Int32Array(things.length + 1)
  let at = 0
  things.forEach((thing, place) => {
    for (let item = end[thing - 1] ?? 0; item < end[thing]!; item++) order[at++] = item
    start[place + 1] = at
  })
  return { order: order.subarray(0, at), start }
}

/** The lines of prints by sculptor and name, and each print's. */
function linesOf({ lines, sculptors, sculptor, line: ofPrint }: PlateColumns, prints: Uint32Array) {
  const sculptorOf = (line: number) => sculptors.list[sculptor[line]!]!
  const isPrinted = new Uint8Array(lines.list.length)
  for (const print of prints) isPrinted[ofPrint[print]!] = 1
  const order = [...lines.list.keys()]
    .filter((line) => isPrinted[line])
    .sort((one, other) => {
      return compareText(sculptorOf(one), sculptorOf(other)) || compareText(lines.list[one]!, lines.list[other]!)
    })
  const place = new Map(order.map((line, at) => [line, at]))
  const sculptorStart = startsOf(order.map((line) => sculptor[line]!))
  return {
    sculptors: Array.from(sculptorStart.subarray(0, -1), (first) => sculptorOf(order[first]!)),
    sculptorStart,
    lines: order.map((line) => lines.list[line]!),
    line: Int32Array.from(prints, (print) => place.get(ofPrint[print]!)!),
  }
}

/** Where each group starts among things that stand by group; one more at the end. @param groups that of each thing */
function startsOf(groups: ArrayLike<number>): Int32Array {
  const starts = [0]
  for (let at = 1; at <= groups.length; at++) if (groups[at] !== groups[at - 1]) starts.push(at)
  return Int32Array.from(starts)
}
