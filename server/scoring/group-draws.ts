// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { type Draws, drawCount, productOf } from './draws.ts'
import { seenLabels, stages, tableOf } from './labels.ts'
import { crowdings, hyperAt, priors, rhoGrid, tieOf } from './model.ts'
import { Random } from './random.ts'
import type { GroupState } from './state.ts'

/** Draws of what a group as a whole is like, each row `count` long. */
export type GroupDraws = ReturnType<typeof emptyGroupDraws>

/** Room for the draws of a group. */
export function emptyGroupDraws(labels: readonly string[], count = drawCount) {
  // Hyperparameters, h and eps, ties, plates, and the table.
  const numbersOfDraw = priors.hyper.length + 2 + stages.length + crowdings.length + 3 * labels.length
  const all = new Float64Array(numbersOfDraw * count)
  let end = 0
  const row = (length = count): Draws => {
    end += length
    return all.subarray(end - length, end)
  }
  return {
    count,
    /** the rows below in one piece, one after the other, as they are stored */
    all,
    mu0: row(),
    k0: row(),
    k: row(),
    am: row(),
    bm: row(),
    /** h, chance that a machine's wear begins with its next plate */
    hazard: row(),
    /** share of looks noted blindly */
    blind: row(),
    /** rho / (1 - rho), by stage */
    ties: [row(), row(), row()] satisfies [file: Draws, machine: Draws, plate: Draws],
    /** success of a plate by its crowding */
    plates: { 'half empty': row(), 'about full': row(), packed: row() },
    /** labels that the table is of, and its rows draw by draw: three numbers a label */
    labels,
    byCause: row(3 * labels.length * count),
  }
}

/** Keeps what a group is like, and success of plates by crowding, as one of its draws. */
export function keepGroup(group: GroupDraws, draw: number, state: GroupState, plates: Iterable<number>): void {
  const { mu0, k0, k, am, bm } = hyperAt(state.hyper)
  const values = [mu0, k0, k, am, bm, state.hazard, state.blind, ...state.tie, ...plates]
  values.forEach((value, row) => {
    group.all[group.count * row + draw] = value
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

/** A group's draws in one piece, to be stored. */
export const packGroupDraws = ({ all }: GroupDraws): Float32Array => Float32Array.from(all)

/**
 * @param labels of the table, as when it was packed
 * @throws RangeError when the piece is of another length
 */
export function unpackGroupDraws(packed: Float32Array, labels: readonly string[]): GroupDraws {
  const group = emptyGroupDraws(labels)
  if (packed.length !== group.all.length) throw new RangeError('draws of another model')
  group.all.set(packed)
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
 * @param name the same gives the same draws: one of the sculptor's own where several are counted together
 */
export function drawsOfNewSculptor({ mu0, k0 }: GroupDraws, name = 'any sculptor'): Draws {
  return betas(productOf(mu0, k0), (draw) => (1 - mu0[draw]!) * k0[draw]!, name)
}

/** A line that nobody has printed, by its sculptor's other ones if there are any. */
export function drawsOfNewLine(group: GroupDraws, sculptor = drawsOfNewSculptor(group), name = 'any line'): Draws {
  return betas(productOf(sculptor, group.k), (draw) => (1 - sculptor[draw]!) * group.k[draw]!, name)
}

/** Any machine in order, as after upkeep. */
export function drawsOfMachineInOrder({ am, bm }: GroupDraws, name = 'machine in order'): Draws {
  return betas(am, (draw) => bm[draw]!, name)
}
