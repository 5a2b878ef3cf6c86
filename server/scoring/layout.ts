// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { PlateColumns } from './columns.ts'
import { compareText } from './compare.ts'
import type { Plate } from './plates.ts'

/**
 * A group's plates as flat arrays, so that a sweep reads memory forwards: periods by name, in each its plates in their
 * order, in each its prints, in each its failed copies. Lines stand by sculptor. Only lines are looked up at random.
 */
export type Layout = {
  readonly sculptors: readonly string[]
  readonly lines: readonly string[]
  /** where a sculptor's lines start; one more at the end, as in every `start` here */
  readonly sculptorStart: Int32Array
  readonly periods: readonly string[]
  readonly periodStart: Int32Array
  readonly plateIds: readonly string[]
  readonly crowding: Uint8Array
  /** copies on the plate */
  readonly tried: Int32Array
  readonly plateStart: Int32Array
  /** of prints with failures, where they have one; else empty */
  readonly printIds: readonly string[]
  readonly line: Int32Array
  readonly printTried: Int32Array
  /** worth for the file */
  readonly fileWeight: Float64Array
  readonly printStart: Int32Array
  /** by failed copy, its label; `labelCount` for "don't know" */
  readonly seen: Uint8Array
  readonly labelCount: number
}

/** Plates in columns, where they are not yet. @throws RangeError as `layOut` */
export function columnsOf(plates: readonly Plate[] | PlateColumns, labels: readonly string[]): PlateColumns {
  if (plates instanceof PlateColumns) return plates
  const columns = new PlateColumns(labels)
  for (const plate of plates) columns.add(plate)
  return columns
}

/**
 * Lays plates out. The order in which they are handed over does not matter.
 *
 * @param plates a list, or for a large group their columns, with the same labels
 * @param labels those that tell something
 * @param every a part alone: every so-manieth period, in the order of their names, with all of its plates
 * @throws RangeError when a count or weight makes no sense, a label is unknown, or a line has two sculptors
 */
export function layOut(plates: readonly Plate[] | PlateColumns, labels: readonly string[], every = 1): Layout {
  const columns = columnsOf(plates, labels)
  const order = plateOrder(columns, every)
  const period = columns.period.numbers
  const prints = inOrder(order, columns.printEnd.numbers)
  const copies = inOrder(prints.order, columns.failedEnd.numbers)
  const fileWeight = columns.fileWeight.numbers
  const printTried = Int32Array.from(prints.order, (print) => columns.tried.numbers[print]!)
  const { place, ...lines } = linesOf(columns, prints.order)
  return {
    ...lines,
    periods: [...runs(order, period)].map(([name]) => columns.periods.list[name]!),
    periodStart: startsOf([...runs(order, period)].map(([, plates]) => plates)),
    plateIds: Array.from(order, (plate) => columns.plateIds[plate]!),
    crowding: Uint8Array.from(order, (plate) => columns.crowding.numbers[plate]!),
    tried: sums(prints.start, printTried),
    plateStart: prints.start,
    printIds: Array.from(prints.order, (print) => columns.printIds[print]!),
    line: Int32Array.from(prints.order, (print) => place[columns.line.numbers[print]!]!),
    printTried,
    fileWeight: Float64Array.from(prints.order, (print) => fileWeight[print]!),
    printStart: copies.start,
    seen: Uint8Array.from(copies.order, (copy) => columns.seen.numbers[copy]!),
    labelCount: columns.labelCount,
  }
}

/** Plates of every so-manieth period by period, day and id. */
function plateOrder({ period, periods, day, plateIds }: PlateColumns, every: number): Uint32Array {
  const [periodOf, dayOf] = [period.numbers, day.numbers]
  const rank = ranks(periods.list)
  const chosen = Uint32Array.from(plateIds, (_, plate) => plate)
  const order = every === 1 ? chosen : chosen.filter((plate) => rank[periodOf[plate]!]! % every === 0)
  return order.sort((one, other) => {
    return (
      rank[periodOf[one]!]! - rank[periodOf[other]!]! ||
      dayOf[one]! - dayOf[other]! ||
      compareText(plateIds[one]!, plateIds[other]!)
    )
  })
}

/** By name, its place among all in their order. */
function ranks(names: readonly string[]): Int32Array {
  const order = names.map((_, index) => index).sort((one, other) => compareText(names[one]!, names[other]!))
  const rank = new Int32Array(names.length)
  order.forEach((name, place) => {
    rank[name] = place
  })
  return rank
}

/**
 * What hangs on things, in the order of those things.
 *
 * @param order of the things
 * @param end where what hangs on each ends
 * @returns the order of what hangs on them, and where that of each starts
 */
function inOrder(order: Uint32Array, end: Int32Array): { order: Uint32Array; start: Int32Array } {
  const inner = new Uint32Array(end.at(-1) ?? 0)
  const start = new Int32Array(order.length + 1)
  let at = 0
  order.forEach((outer, place) => {
    for (let item = outer === 0 ? 0 : end[outer - 1]!; item < end[outer]!; item++) inner[at++] = item
    start[place + 1] = at
  })
  return { order: inner.subarray(0, at), start }
}

/** The lines of prints by sculptor, and the place of each. */
function linesOf({ lines, sculptors, sculptor, line }: PlateColumns, prints: Uint32Array) {
  const lineOf = line.numbers
  const isPrinted = new Uint8Array(lines.list.length)
  for (const print of prints) isPrinted[lineOf[print]!] = 1
  const sculptorOf = sculptor.numbers
  const rankOfSculptor = ranks(sculptors.list)
  const rankOfLine = ranks(lines.list)
  const printed = Uint32Array.from(lines.list, (_, index) => index).filter((index) => isPrinted[index])
  const order = printed.sort((one, other) => {
    return (
      rankOfSculptor[sculptorOf[one]!]! - rankOfSculptor[sculptorOf[other]!]! || rankOfLine[one]! - rankOfLine[other]!
    )
  })
  const place = new Int32Array(lines.list.length)
  order.forEach((number, index) => {
    place[number] = index
  })
  return {
    place,
    lines: Array.from(order, (number) => lines.list[number]!),
    sculptors: [...runs(order, sculptorOf)].map(([name]) => sculptors.list[name]!),
    sculptorStart: startsOf([...runs(order, sculptorOf)].map(([, own]) => own)),
  }
}

/** Runs of things that have the same number, with their lengths. */
function* runs(order: Uint32Array, numberOf: Int32Array): Generator<[number: number, length: number]> {
  let from = 0
  for (let at = 1; at <= order.length; at++) {
    if (at < order.length && numberOf[order[at]!] === numberOf[order[from]!]) continue
    yield [numberOf[order[from]!]!, at - from]
    from = at
  }
}

function startsOf(counts: readonly number[]): Int32Array {
  const start = new Int32Array(counts.length + 1)
  counts.forEach((count, index) => {
    start[index + 1] = start[index]! + count
  })
  return start
}

/** Of every plate, its prints' copies. */
function sums(start: Int32Array, printTried: Int32Array): Int32Array {
  return Int32Array.from({ length: start.length - 1 }, (_, plate) => {
    return printTried.subarray(start[plate], start[plate + 1]).reduce((sum, tried) => sum + tried, 0)
  })
}
