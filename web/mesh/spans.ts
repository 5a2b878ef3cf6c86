/** What of one layer is solid: along each row from where to where, in order, none touching the next. */
export interface Spans {
  /** Where each row's spans begin in the lists, and at last where they end. */
  starts: Int32Array
  from: Float64Array
  to: Float64Array
}

export const noSpans = (rows: number): Spans => ({
  starts: new Int32Array(rows + 1),
  from: new Float64Array(1024),
  to: new Float64Array(1024),
})

/** Shells that share less depth than this, mm, touch; they don't overlap. */
const leastOverlapMm = 0.005

/** Writes rows into a layer, one after the other. */
export interface SpanWriter {
  spans: Spans
  /** Whether a row was inside two shells at once. */
  overlapping: boolean
  /** Length of all spans. */
  lengthMm: number
}

/**
 * Adds a row: inside is where more shells have been entered than left (the positive fill rule of the 3MF core
 * specification 1.4, 4.1.1). A row that comes out of a hole in a shell enters and leaves by turns instead.
 *
 * @param keys crossings in order: twice the place in steps, and one more where it is an exit, so that entries come first
 */
export function writeRow(writer: SpanWriter, row: number, keys: Int32Array, fromMm: number, stepMm: number): void {
  const isClosed = keys.length % 2 === 0 && exitsOf(keys) * 2 === keys.length
  let depth = 0
  let begin = 0
  let before = 0
  let count = writer.spans.starts[row] as number
  for (const key of keys) {
    const at = key >> 1
    if (isClosed && depth > 1 && (at - before) * stepMm > leastOverlapMm) writer.overlapping = true
    before = at
    const wasInside = depth > 0
    if (isClosed) depth += key & 1 ? -1 : 1
    else depth = depth > 0 ? 0 : 1
    if (!wasInside && depth > 0) begin = at
    else if (wasInside && depth <= 0 && at > begin)
      count = addSpan(writer, count, fromMm + begin * stepMm, fromMm + at * stepMm)
  }
  writer.spans.starts[row + 1] = count
}

function exitsOf(keys: Int32Array): number {
  let exits = 0
  for (const key of keys) exits += key & 1
  return exits
}

function addSpan(writer: SpanWriter, count: number, from: number, to: number): number {
  const { spans } = writer
  if (count === spans.from.length) {
    spans.from = doubled(spans.from)
    spans.to = doubled(spans.to)
  }
  spans.from[count] = from
  spans.to[count] = to
  writer.lengthMm += to - from
  return count + 1
}

function doubled(list: Float64Array): Float64Array {
  const larger = new Float64Array(list.length * 2)
  larger.set(list)
  return larger
}

/**
 * Tells which spans of two rows lie beside each other, or no further apart than a reach.
 *
 * @param touch called with the number of a span of each
 */
export function eachTouch(
  one: Spans,
  oneRow: number,
  other: Spans,
  otherRow: number,
  reachMm: number,
  touch: (a: number, b: number) => void,
): void {
  let a = one.starts[oneRow] as number
  let b = other.starts[otherRow] as number
  const aEnd = one.starts[oneRow + 1] as number
  const bEnd = other.starts[otherRow + 1] as number
  while (a < aEnd && b < bEnd) {
    const aTo = one.to[a] as number
    const bTo = other.to[b] as number
    if ((one.from[a] as number) <= bTo + reachMm && (other.from[b] as number) <= aTo + reachMm) touch(a, b)
    if (aTo < bTo) a++
    else b++
  }
}
