import type { MidAir } from './measure.ts'
import { eachTouch, noSpans, type Spans } from './spans.ts'
import { join, singles, standIn } from './union.ts'

/** What begins this low stands on the plate: feet are seldom all equally high. Common practice, no source. */
const onPlateMm = 0.1
/** What never grows beyond this before it joins the rest is a speck of the grid, not a part. */
const leastMm2 = 0.03

/** A part of a layer: spans that hang together. */
interface Piece {
  areaMm2: number
  /** Sums over its spans, for its middle. */
  x: number
  y: number
  /** What it stands on: 0 the plate, otherwise a start by its number; -1 nothing yet. */
  on: number
}

/** What has begun in mid-air; number 0 is what stands on the plate. */
interface Start extends MidAir {
  leads: number
}

/** A layer, and which of its pieces each span belongs to. */
interface Layer {
  spans: Spans
  of: Int32Array
  pieces: Piece[]
}

export interface MidAirWatch {
  layer(spans: Spans, heightMm: number): void
  /** The largest starts, from the lowest to the highest. @param most so many at most */
  found(most: number): MidAir[]
}

/**
 * Watches layers, from the lowest up, for pieces that lie on nothing of the layer below.
 *
 * @param rows in a layer @param rowMm apart, which is also how near counts as touching
 * @param leftMm where the figure's left edge is; its near edge is where rows begin
 */
export function watchMidAir(rows: number, rowMm: number, leftMm: number): MidAirWatch {
  const starts: Start[] = [{ leads: 0, heightMm: 0, xMm: 0, yMm: 0, areaMm2: Infinity }]
  let below: Layer = { spans: noSpans(rows), pieces: [], of: new Int32Array(0) }

  function layer(spans: Spans, heightMm: number): void {
    const { of, pieces } = piecesOf(spans, rows, rowMm)
    const standOn = (one: number, other: number) => {
      const piece = pieces[of[one] as number] as Piece
      const { on } = below.pieces[below.of[other] as number] as Piece
      piece.on = piece.on < 0 ? topOf(starts, on) : unite(starts, piece.on, on)
    }
    for (let row = 0; row < rows; row++)
      for (let beside = Math.max(0, row - 1); beside <= Math.min(rows - 1, row + 1); beside++)
        eachTouch(spans, row, below.spans, beside, rowMm, standOn)
    for (const piece of pieces) settle(piece, heightMm)
    below = { spans, pieces, of }
  }

  function settle(piece: Piece, heightMm: number): void {
    if (piece.on < 0 && heightMm < onPlateMm - 1e-9) piece.on = 0
    if (piece.on < 0) {
      piece.on = starts.length
      const xMm = piece.x / piece.areaMm2 - leftMm
      const yMm = piece.y / piece.areaMm2
      starts.push({ leads: starts.length, heightMm, xMm, yMm, areaMm2: 0 })
    }
    const start = starts[topOf(starts, piece.on)] as Start
    if (piece.areaMm2 > start.areaMm2) start.areaMm2 = piece.areaMm2
  }

  return {
    layer,
    found: (most) =>
      starts
        .slice(1)
        .filter(({ areaMm2 }) => areaMm2 >= leastMm2)
        .toSorted((one, other) => other.areaMm2 - one.areaMm2)
        .slice(0, most)
        .toSorted((one, other) => one.heightMm - other.heightMm)
        .map(({ heightMm, xMm, yMm, areaMm2 }) => ({ heightMm, xMm, yMm, areaMm2 })),
  }
}

/** Finds what hangs together within a layer, across rows. */
function piecesOf(spans: Spans, rows: number, rowMm: number): Omit<Layer, 'spans'> {
  const count = spans.starts[rows] as number
  const leads = singles(count)
  const both = (one: number, other: number) => void join(leads, one, other)
  for (let row = 1; row < rows; row++) eachTouch(spans, row - 1, spans, row, rowMm, both)
  const of = new Int32Array(count)
  const pieces: Piece[] = []
  for (let row = 0; row < rows; row++) {
    const end = spans.starts[row + 1] as number
    for (let span = spans.starts[row] as number; span < end; span++) {
      const first = standIn(leads, span)
      if (first === span) of[span] = pieces.push({ areaMm2: 0, x: 0, y: 0, on: -1 }) - 1
      else of[span] = of[first] as number
      const piece = pieces[of[span] as number] as Piece
      const [from, to] = [spans.from[span] as number, spans.to[span] as number]
      const areaMm2 = (to - from) * rowMm
      piece.areaMm2 += areaMm2
      piece.x += (areaMm2 * (from + to)) / 2
      piece.y += areaMm2 * (row + 0.5) * rowMm
    }
  }
  return { of, pieces }
}

function topOf(starts: Start[], number: number): number {
  let one = number
  for (let lead = starts[one]?.leads; lead !== undefined && lead !== one; lead = starts[one]?.leads) one = lead
  return one
}

/** Two that have grown together: the larger one goes on growing. @returns its number */
function unite(starts: Start[], one: number, other: number): number {
  const [a, b] = [topOf(starts, one), topOf(starts, other)]
  const [first, second] = [starts[a] as Start, starts[b] as Start]
  if (first.areaMm2 >= second.areaMm2) {
    second.leads = a
    return a
  }
  first.leads = b
  return b
}
