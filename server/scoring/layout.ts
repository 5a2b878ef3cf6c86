// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { unknown } from './labels.ts'
import { crowdings } from './model.ts'
import type { Plate, Print } from './plates.ts'

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
  readonly plateWeight: Float64Array
  readonly plateStart: Int32Array
  readonly line: Int32Array
  readonly printTried: Int32Array
  /** revision's worth for the file; and what it is for show, where one member's many copies count for less */
  readonly fileWeight: Float64Array
  readonly shownWeight: Float64Array
  readonly printStart: Int32Array
  /** by failed copy, its label; `labels.length` for "don't know" */
  readonly seen: Uint8Array
  readonly labelCount: number
}

/**
 * Lays plates out. The order in which they are handed over does not matter.
 *
 * @param labels those that tell something
 * @throws RangeError when a count or weight makes no sense, a label is unknown, or a line has two sculptors
 */
export function layOut(plates: readonly Plate[], labels: readonly string[]): Layout {
  const ordered = inOrder(plates)
  const { lines, sculptors, sculptorStart, indexOfLine } = linesOf(ordered)
  const prints = ordered.flatMap((plate) => plate.prints)
  const periods = [...new Set(ordered.map(({ period }) => period))]
  const labelOf = new Map([...labels.map((label, index) => [label, index] as const), [unknown, labels.length]])
  const failed = prints.map(copiesFailed)
  const tried = ordered.map((plate) => plate.prints.reduce((sum, print) => sum + triedOf(print), 0))
  return {
    lines,
    sculptors,
    sculptorStart,
    periods,
    periodStart: startsOf(countRuns(ordered, ({ period }) => period)),
    plateIds: ordered.map(({ id }) => id),
    crowding: Uint8Array.from(ordered, crowdingOf),
    tried: Int32Array.from(tried),
    plateWeight: Float64Array.from(ordered, (plate, index) => weightOf(plate, tried[index]!)),
    plateStart: startsOf(ordered.map((plate) => plate.prints.length)),
    line: Int32Array.from(prints, ({ line }) => indexOfLine.get(line)!),
    printTried: Int32Array.from(prints, triedOf),
    fileWeight: Float64Array.from(prints, ({ fileWeight = 1 }) => weight(fileWeight)),
    shownWeight: Float64Array.from(prints, ({ fileWeight = 1, memberWeight = 1 }) => fileWeight * weight(memberWeight)),
    printStart: startsOf(failed),
    seen: seenOf(prints, failed, labelOf),
    labelCount: labels.length,
  }
}

/** By period, day and id. */
function inOrder(plates: readonly Plate[]): Plate[] {
  return [...plates].sort((one, other) => {
    return compareText(one.period, other.period) || one.day - other.day || compareText(one.id, other.id)
  })
}

/** By code unit: the same on every machine, whatever its language. */
function compareText(one: string, other: string): number {
  if (one === other) return 0
  return one < other ? -1 : 1
}

function linesOf(plates: readonly Plate[]) {
  const sculptorOf = new Map<string, string>()
  for (const plate of plates) {
    for (const { line, sculptor } of plate.prints) {
      const known = sculptorOf.get(line) ?? sculptor
      if (known !== sculptor) throw new RangeError(`line "${line}" is two sculptors'`)
      sculptorOf.set(line, sculptor)
    }
  }
  const ordered = [...sculptorOf].sort((one, other) => compareText(one[1], other[1]) || compareText(one[0], other[0]))
  const lines = ordered.map(([line]) => line)
  return {
    lines,
    sculptors: [...new Set(ordered.map(([, sculptor]) => sculptor))],
    sculptorStart: startsOf(countRuns(ordered, ([, sculptor]) => sculptor)),
    indexOfLine: new Map(lines.map((line, index) => [line, index])),
  }
}

/** How many items in a row have the same key. */
function countRuns<Item>(items: readonly Item[], keyOf: (item: Item) => string): number[] {
  const counts: number[] = []
  let last: string | undefined
  for (const item of items) {
    const key = keyOf(item)
    if (key === last) counts[counts.length - 1]!++
    else counts.push(1)
    last = key
  }
  return counts
}

function startsOf(counts: readonly number[]): Int32Array {
  const start = new Int32Array(counts.length + 1)
  counts.forEach((count, index) => {
    start[index + 1] = start[index]! + count
  })
  return start
}

function crowdingOf({ crowding }: Plate): number {
  const index = crowdings.indexOf(crowding)
  if (index < 0) throw new RangeError(`unknown crowding "${crowding}"`)
  return index
}

function copiesFailed({ failures }: Print): number {
  return failures.reduce((sum, { copies }) => sum + count(copies), 0)
}

function triedOf(print: Print): number {
  return count(print.good) + copiesFailed(print)
}

function count(copies: number): number {
  if (!Number.isSafeInteger(copies) || copies < 0) throw new RangeError('copies must be whole numbers >= 0')
  return copies
}

function weight(value: number): number {
  if (!(value > 0 && value <= 1)) throw new RangeError('a weight must be above 0 and at most 1')
  return value
}

/** Worth of a plate for its crowding: its prints' by copies. */
function weightOf({ prints }: Plate, tried: number): number {
  if (tried === 0) return 1
  return prints.reduce((sum, print) => sum + (print.memberWeight ?? 1) * triedOf(print), 0) / tried
}

function seenOf(prints: readonly Print[], failed: readonly number[], labelOf: ReadonlyMap<string, number>): Uint8Array {
  const labels = new Uint8Array(failed.reduce((sum, copies) => sum + copies, 0))
  let copy = 0
  for (const { failures } of prints) {
    for (const { seen, copies } of failures) {
      const label = labelOf.get(seen)
      if (label === undefined) throw new RangeError(`unknown label "${seen}"`)
      labels.fill(label, copy, copy + copies)
      copy += copies
    }
  }
  return labels
}
