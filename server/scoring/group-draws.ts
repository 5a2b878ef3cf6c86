// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { type Draws, drawCount, productOf } from './draws.ts'
import { seenLabels, stages, tableOf } from './labels.ts'
import { type Crowding, crowdings, type Hyper, hyperAt, hyperNames, priors, rhoGrid, tieOf } from './model.ts'
import { Random } from './random.ts'
import type { GroupState } from './state.ts'

/** Draws of what a group as a whole is like, each `count` long. */
export type GroupDraws = Record<keyof Hyper, Float64Array> & {
  count: number
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

/** Keeps what a group is like, and success of plates by crowding, as one of its draws. */
export function keepGroup(group: GroupDraws, draw: number, state: GroupState, plates: Iterable<number>): void {
  const hyper = hyperAt(state.hyper)
  const values = [...hyperNames.map((name) => hyper[name]), state.hazard, state.blind, ...state.tie, ...plates]
  rowsOf(group).forEach((row, at) => {
    row[draw] = values[at]!
  })
  group.byCause.set(state.byCause, draw * state.byCause.length)
}

/** What is expected of any group before its first report. Always the same draws. */
export function groupDrawsBeforeReports(): GroupDraws {
  const { labels, byCause } = tableOf(seenLabels, true)
  const group = emptyGroupDraws(labels)
  const random = new Random(1)
  for (let draw = 0; draw < drawCount; draw++) {
    const state = {
      hyper: Float64Array.from(priors.hyper, ([mean, sd]) => mean + sd * random.normal()),
      hazard: random.beta(...priors.hazard),
      blind: random.beta(...priors.blind),
      tie: Float64Array.from(stages, (stage) => tieOf(rhoGrid[random.index(priors.rho[stage])]!)),
      byCause,
    }
    const plates = crowdings.map((crowding) => random.beta(...priors.plate[crowding]))
    keepGroup(group, draw, state, plates)
  }
  return group
}

/** The rows of numbers in a group's draws but for its table, always in the same order. */
function rowsOf(group: GroupDraws): Float64Array[] {
  const { hazard, blind, ties, plates } = group
  return [...hyperNames.map((name) => group[name]), hazard, blind, ...ties, ...crowdings.map((one) => plates[one])]
}

/** A group's draws in one piece, to be stored. */
export function packGroupDraws(group: GroupDraws): Float32Array {
  return Float32Array.from([...rowsOf(group), group.byCause].flatMap((row) => [...row]))
}

/**
 * @param labels of the table, as when it was packed
 * @throws RangeError when the piece is of another length
 */
export function unpackGroupDraws(packed: Float32Array, labels: readonly string[]): GroupDraws {
  const group = emptyGroupDraws(labels)
  let at = 0
  for (const row of [...rowsOf(group), group.byCause]) {
    row.set(packed.subarray(at, at + row.length))
    at += row.length
  }
  if (packed.length !== at) throw new RangeError('draws of another model')
  return group
}

/** A stream of random numbers that is the same for the same name. */
function randomOf(name: string): Random {
  let hash = 0x811c9dc5
  for (let at = 0; at < name.length; at++) hash = Math.imul(hash ^ name.charCodeAt(at), 0x01000193)
  return new Random(hash)
}

/** Draws from a Beta each. */
function betas(a: Float64Array, b: (draw: number) => number, name: string): Draws {
  const random = randomOf(name)
  return a.map((shape, draw) => Math.max(1e-7, Math.min(1 - 1e-7, random.beta(shape, b(draw)))))
}

/**
 * A sculptor of whose files nothing has been printed.
 *
 * @param name any that is the sculptor's own: the same gives the same draws
 */
export function drawsOfNewSculptor({ mu0, k0 }: GroupDraws, name: string): Draws {
  return betas(productOf(mu0, k0), (draw) => (1 - mu0[draw]!) * k0[draw]!, name)
}

/** A line that nobody has printed, by its sculptor's other ones. */
export function drawsOfNewLine({ k }: GroupDraws, sculptor: Draws, name: string): Draws {
  return betas(productOf(sculptor, k), (draw) => (1 - sculptor[draw]!) * k[draw]!, name)
}

/** Any machine in order, as after upkeep. */
export function drawsOfMachineInOrder({ am, bm }: GroupDraws, name = 'machine in order'): Draws {
  return betas(am, (draw) => bm[draw]!, name)
}
