// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { chancesBySet, stageSets, type Table } from './labels.ts'
import type { Layout } from './layout.ts'
import { coordinates, crowdings, type Hyper, hyperAt, priors, rhoGrid, tieOf } from './model.ts'
import type { Random } from './random.ts'

/** No chance is smaller: what is multiplied by it stays a number. */
const smallest = 1e-300

/** Chances to pass and to fail of a row of nodes, both kept since one may be too near 1 to tell the other from. */
export class Chances {
  readonly pass: Float64Array
  readonly fail: Float64Array

  constructor(count: number) {
    this.pass = new Float64Array(count)
    this.fail = new Float64Array(count)
  }

  /** Draws a node's chance from Beta(a, b). */
  draw(node: number, a: number, b: number, random: Random): void {
    const odds = random.betaOdds(a, b)
    this.pass[node] = Math.max(smallest, 1 / (1 + odds))
    this.fail[node] = Math.max(smallest, 1 / (1 + 1 / odds))
  }
}

/** Events that passed and failed, of a row of nodes: what a plate's copies are worth as independent evidence. */
export type Events = { readonly passed: Float64Array; readonly failed: Float64Array }

const noEvents = (count: number): Events => ({ passed: new Float64Array(count), failed: new Float64Array(count) })

/** What of a state belongs to the group as a whole. */
export type GroupState = {
  /** on the scales of `coordinates` */
  readonly hyper: Float64Array
  /** h */
  hazard: number
  /** rho / (1 - rho) by stage */
  readonly tie: Float64Array
  /** eps */
  blind: number
  /** M, three a label */
  readonly byCause: Float64Array
}

/** Where a chain stands: every unknown of the model by the README's symbols, and the counts that follow from them. */
export type State = GroupState & {
  /** hyperparameters, hazard, ties and the table are known beforehand, and stay */
  readonly isHeld: boolean
  /** mu by sculptor, and 1 - mu */
  readonly mu: Chances
  /** p of lines, of periods in order, of periods worn (w), of crowdings */
  readonly file: Chances
  readonly machine: Chances
  readonly worn: Chances
  readonly plate: Chances
  /** T by period: how many of its plates came before the wear */
  readonly change: Int32Array
  /** chances by label and set of failed stages, as `byCause` and `blind` have it */
  readonly chancesOfSeen: Float64Array
  /** F by failed copy, 0 while it has none yet */
  readonly failed: Uint8Array
  /** failed copies at the file's stage by print, at the machine's and the plate's by plate */
  readonly fileFailures: Int32Array
  readonly machineFailures: Int32Array
  readonly plateFailures: Int32Array
  /** by line, weighted; by plate; by crowding */
  readonly fileEvents: Events
  readonly machineEvents: Events
  readonly plateEvents: Events
}

/**
 * A state whose unknowns are drawn from their priors, or held; no failed copy has a cause yet.
 *
 * @param held hyperparameters that are known beforehand: then copies are independent, no look is blind, and nothing wears
 * @param found what a chain on a part of the group has found of the whole, and leaves behind
 */
export function startingState(
  layout: Layout,
  table: Table,
  random: Random,
  { held, found }: { held?: Hyper | undefined; found?: GroupState | undefined } = {},
): State {
  const { lines, line, sculptors, periods, periodStart, crowding, seen } = layout
  const drawn = groupFromPriors(table, random, held)
  const state: State = {
    ...(found ?? drawn),
    isHeld: held !== undefined,
    mu: new Chances(sculptors.length),
    file: new Chances(lines.length),
    machine: new Chances(periods.length),
    worn: new Chances(periods.length),
    plate: new Chances(crowdings.length),
    change: Int32Array.from(periods, (_, period) => periodStart[period + 1]! - periodStart[period]!),
    chancesOfSeen: new Float64Array(stageSets * (table.labels.length + 1)),
    failed: new Uint8Array(seen.length),
    fileFailures: new Int32Array(line.length),
    machineFailures: new Int32Array(crowding.length),
    plateFailures: new Int32Array(crowding.length),
    fileEvents: noEvents(lines.length),
    machineEvents: noEvents(crowding.length),
    plateEvents: noEvents(crowdings.length),
  }
  chancesBySet(state.byCause, state.blind, state.chancesOfSeen)
  drawChances(state, layout, random)
  return state
}

function groupFromPriors(table: Table, random: Random, held: Hyper | undefined): GroupState {
  const byCause = table.byCause.slice()
  if (held) return { hazard: 0, tie: new Float64Array(3), blind: 0, hyper: coordinates(held), byCause }
  return {
    hazard: random.beta(...priors.hazard),
    // Anywhere on the grid, however likely: chains are to begin far apart.
    tie: Float64Array.from({ length: 3 }, () => tieOf(rhoGrid[Math.floor(rhoGrid.length * random.uniform())]!)),
    blind: random.beta(...priors.blind),
    hyper: Float64Array.from(priors.hyper, ([mean, sd]) => mean + sd * random.normal()),
    byCause,
  }
}

/** Draws the chances of all stages from their priors, given what the group is like. */
function drawChances(state: State, layout: Layout, random: Random): void {
  const { mu0, k0, k, am, bm } = hyperAt(state.hyper)
  for (let sculptor = 0; sculptor < layout.sculptors.length; sculptor++) {
    state.mu.draw(sculptor, mu0 * k0, (1 - mu0) * k0, random)
    drawLinesOf(sculptor, layout, state, k, random)
  }
  for (let period = 0; period < layout.periods.length; period++) {
    state.machine.draw(period, am, bm, random)
    state.worn.draw(period, ...priors.worn, random)
  }
  drawPlates(state, random)
}

/** Draws success of a sculptor's lines, given their events. */
export function drawLinesOf(sculptor: number, { sculptorStart }: Layout, state: State, k: number, random: Random) {
  const { mu, file, fileEvents } = state
  const [a, b] = [k * mu.pass[sculptor]!, k * mu.fail[sculptor]!]
  for (let line = sculptorStart[sculptor]!; line < sculptorStart[sculptor + 1]!; line++) {
    file.draw(line, a + fileEvents.passed[line]!, b + fileEvents.failed[line]!, random)
  }
}

/** Draws success of plates by how full they are, given their events. */
export function drawPlates({ plate, plateEvents }: State, random: Random): void {
  crowdings.forEach((crowding, index) => {
    const [a, b] = priors.plate[crowding]
    plate.draw(index, a + plateEvents.passed[index]!, b + plateEvents.failed[index]!, random)
  })
}

/** The machine's chances that count for a plate: in order before the wear, worn from then on. By its period. */
export function machineOn(plate: number, layout: Layout, state: State): Chances {
  const period = layout.period[plate]!
  return plate < layout.periodStart[period]! + state.change[period]! ? state.machine : state.worn
}
