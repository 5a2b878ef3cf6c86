// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import type { Summary } from './beta.ts'
import { intervalEnds } from './beta.ts'
import { seenLabels, stages, tableOf } from './labels.ts'
import {
  blindPrior,
  type Crowding,
  crowdings,
  hazardPrior,
  hyperPriors,
  platePriors,
  rhoGrid,
  rhoWeights,
  tieOf,
} from './model.ts'
import { Random } from './random.ts'
import { hyperAt } from './state.ts'

/** So many sweeps are kept of a fit, the same ones for everything in it, so that what hangs together stays together. */
export const drawCount = 400

/** Draws of one chance, each strictly between 0 and 1; place by place they belong to the same sweeps. */
export type Draws = Float64Array

const stepsPerLogit = 2048
const middle = 32768

/** A chance as 16 bits, evenly on the logit scale: from 1e-7 to 1 - 1e-7, in steps of 1/2048. */
export function quantised(pass: number, fail: number): number {
  const step = middle + Math.round(stepsPerLogit * Math.log(pass / fail))
  return Math.max(0, Math.min(65535, step))
}

/** The chances of one node as they were kept. @param kept 16 bits a draw */
export function drawsOf(kept: ArrayLike<number>): Draws {
  const draws = new Float64Array(kept.length)
  for (let draw = 0; draw < draws.length; draw++)
    draws[draw] = 1 / (1 + Math.exp((middle - kept[draw]!) / stepsPerLogit))
  return draws
}

/** The part of a fit's draws that belongs to one node. */
export function keptOf(all: Uint16Array, node: number, count = drawCount): Uint16Array {
  return all.subarray(count * node, count * (node + 1))
}

/** Draws of what a group as a whole is like, each `count` long. */
export type GroupDraws = {
  count: number
  mu0: Float64Array
  k0: Float64Array
  k: Float64Array
  am: Float64Array
  bm: Float64Array
  /** h, chance that a machine's wear begins with its next plate */
  hazard: Float64Array
  /** share of looks noted blindly */
  blind: Float64Array
  /** rho / (1 - rho), by stage */
  ties: [file: Float64Array, machine: Float64Array, plate: Float64Array]
  /** success of a plate by its crowding */
  plates: Record<Crowding, Draws>
  /** labels that the table is of, and its rows draw by draw: three numbers a label */
  labels: readonly string[]
  byCause: Float64Array
}

/** Room for the draws of a group. */
export function emptyGroupDraws(labels: readonly string[], count = drawCount): GroupDraws {
  const row = () => new Float64Array(count)
  return {
    count,
    labels,
    mu0: row(),
    k0: row(),
    k: row(),
    am: row(),
    bm: row(),
    hazard: row(),
    blind: row(),
    ties: [row(), row(), row()],
    plates: { 'half empty': row(), 'about full': row(), packed: row() },
    byCause: new Float64Array(3 * labels.length * count),
  }
}

/** What is expected of any group before its first report. Always the same draws. */
export function groupDrawsBeforeReports(): GroupDraws {
  const { labels, byCause } = tableOf(seenLabels, true)
  const group = emptyGroupDraws(labels)
  const random = new Random(1)
  for (let draw = 0; draw < drawCount; draw++) {
    const hyper = hyperAt(Object.values(hyperPriors).map(([mean, sd]) => mean + sd * random.normal()))
    for (const name of ['mu0', 'k0', 'k', 'am', 'bm'] as const) group[name][draw] = hyper[name]
    group.hazard[draw] = random.beta(...hazardPrior)
    group.blind[draw] = random.beta(...blindPrior)
    stages.forEach((stage, index) => {
      group.ties[index]![draw] = tieOf(rhoGrid[random.index(rhoWeights[stage])]!)
    })
    for (const crowding of crowdings) group.plates[crowding][draw] = random.beta(...platePriors[crowding])
    group.byCause.set(byCause, draw * byCause.length)
  }
  return group
}

/** The rows of numbers in a group's draws, always in the same order. */
function rowsOf({ mu0, k0, k, am, bm, hazard, blind, ties, plates, byCause }: GroupDraws): Float64Array[] {
  return [mu0, k0, k, am, bm, hazard, blind, ...ties, ...crowdings.map((crowding) => plates[crowding]), byCause]
}

/** A group's draws in one piece, to be stored. */
export function packGroupDraws(group: GroupDraws): Float32Array {
  const rows = rowsOf(group)
  const packed = new Float32Array(rows.reduce((sum, row) => sum + row.length, 0))
  let at = 0
  for (const row of rows) {
    packed.set(row, at)
    at += row.length
  }
  return packed
}

/**
 * @param labels of the table, as when it was packed
 * @throws RangeError when the piece is of another length
 */
export function unpackGroupDraws(packed: Float32Array, labels: readonly string[]): GroupDraws {
  const group = emptyGroupDraws(labels)
  const rows = rowsOf(group)
  if (packed.length !== rows.reduce((sum, row) => sum + row.length, 0)) throw new RangeError('draws of another model')
  let at = 0
  for (const row of rows) {
    row.set(packed.subarray(at, at + row.length))
    at += row.length
  }
  return group
}

/** A whole number that is the same for the same name, to begin a stream of random numbers with. */
export function seedOf(name: string): number {
  let hash = 0x811c9dc5
  for (let at = 0; at < name.length; at++) hash = Math.imul(hash ^ name.charCodeAt(at), 0x01000193)
  return hash
}

/**
 * A sculptor of whose files nothing has been printed.
 *
 * @param name any that is the sculptor's own: the same gives the same draws
 */
export function drawsOfNewSculptor({ mu0, k0, count }: GroupDraws, name: string): Draws {
  const random = new Random(seedOf(name))
  return Float64Array.from({ length: count }, (_, draw) => {
    return inside(random.beta(mu0[draw]! * k0[draw]!, (1 - mu0[draw]!) * k0[draw]!))
  })
}

/** A line that nobody has printed, by its sculptor's other ones. */
export function drawsOfNewLine({ k }: GroupDraws, sculptor: Draws, name: string): Draws {
  const random = new Random(seedOf(name))
  return sculptor.map((mu, draw) => inside(random.beta(mu * k[draw]!, (1 - mu) * k[draw]!)))
}

/** Any machine in order, as after upkeep. */
export function drawsOfMachineInOrder({ am, bm }: GroupDraws, name = 'machine in order'): Draws {
  const random = new Random(seedOf(name))
  return am.map((a, draw) => inside(random.beta(a, bm[draw]!)))
}

const inside = (chance: number) => Math.max(1e-7, Math.min(1 - 1e-7, chance))

/** Place by place the product: a copy passes all of its stages. */
export function productOf(...rows: readonly Draws[]): Draws {
  const [first, ...others] = rows
  if (!first) throw new RangeError('nothing to multiply')
  const product = first.slice()
  for (const row of others) for (let draw = 0; draw < product.length; draw++) product[draw]! *= row[draw]!
  return product
}

export function meanOf(draws: ArrayLike<number>): number {
  let sum = 0
  for (let draw = 0; draw < draws.length; draw++) sum += draws[draw]!
  return sum / draws.length
}

/** Mean and 80 % interval of draws. */
export function summaryOf(draws: ArrayLike<number>): Summary {
  const sorted = new Float64Array(draws).sort()
  const [low, high] = intervalEnds.map((chance) => quantileOfSorted(sorted, chance))
  return { mean: meanOf(draws), low: low!, high: high! }
}

/**
 * @param sorted ascending, at least one
 * @see Hyndman & Fan (1996), Sample quantiles in statistical packages, American Statistician 50, 361-365, definition 8
 */
export function quantileOfSorted(sorted: Float64Array, chance: number): number {
  const place = Math.max(1, Math.min(sorted.length, (sorted.length + 1 / 3) * chance + 1 / 3))
  const below = Math.floor(place)
  const from = sorted[below - 1]!
  return from + (place - below) * ((sorted[below] ?? from) - from)
}
