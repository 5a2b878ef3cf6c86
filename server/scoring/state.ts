// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import type { Table } from './labels.ts'
import { chancesBySet, stageSets } from './labels.ts'
import type { Layout } from './layout.ts'
import {
  blindPrior,
  crowdings,
  type Hyper,
  hazardPrior,
  hyperPriors,
  platePriors,
  rhoGrid,
  tieOf,
  wornPrior,
} from './model.ts'
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
export class Events {
  readonly passed: Float64Array
  readonly failed: Float64Array

  constructor(count: number) {
    this.passed = new Float64Array(count)
    this.failed = new Float64Array(count)
  }

  clear(): void {
    this.passed.fill(0)
    this.failed.fill(0)
  }
}

/** What is known beforehand and not drawn. */
export type Held = { hyper: Hyper; table: Table }

/** Where a chain stands: every unknown of the model by the README's symbols, and the counts that follow from them. */
export type State = {
  /** logit of mu0, log k0, log k, logit am / (am + bm), log (am + bm) */
  readonly hyper: Float64Array
  /** mu by sculptor, and 1 - mu */
  readonly mu: Chances
  /** p of lines, of periods in order, of periods worn (w), of crowdings */
  readonly file: Chances
  readonly machine: Chances
  readonly worn: Chances
  readonly plate: Chances
  /** T by period: how many of its plates came before the wear */
  readonly change: Int32Array
  /** h */
  hazard: number
  /** rho / (1 - rho) by stage */
  readonly tie: Float64Array
  /** eps */
  blind: number
  /** M, three a label */
  readonly byCause: Float64Array
  /** chances by label and set of failed stages, as `byCause` and `blind` have it */
  readonly chancesOfSeen: Float64Array
  /** F by failed copy, 0 while it has none yet */
  readonly failed: Uint8Array
  /** failed copies at the file's stage by print, at the machine's and the plate's by plate */
  readonly fileFailures: Int32Array
  readonly machineFailures: Int32Array
  readonly plateFailures: Int32Array
  /** those of lines weighted */
  readonly fileEvents: Events
  readonly plateEvents: Events
  /** whole events by plate */
  readonly machinePassed: Int32Array
  readonly machineFailed: Int32Array
}

/** What of a state belongs to the group as a whole. */
export type GroupState = Pick<State, 'hyper' | 'hazard' | 'tie' | 'blind' | 'byCause'>

/**
 * A state whose unknowns are drawn from their priors, or held; no failed copy has a cause yet.
 *
 * @param found what a chain on a part of the group has found of the whole
 */
export function startingState(
  layout: Layout,
  table: Table,
  held: Held | undefined,
  random: Random,
  found?: GroupState,
): State {
  const { lines, sculptors, periods, crowding } = layout
  const state: State = {
    hyper: new Float64Array(5),
    mu: new Chances(sculptors.length),
    file: new Chances(lines.length),
    machine: new Chances(periods.length),
    worn: new Chances(periods.length),
    plate: new Chances(crowdings.length),
    change: Int32Array.from(periods, (_, period) => layout.periodStart[period + 1]! - layout.periodStart[period]!),
    hazard: held ? 0 : random.beta(...hazardPrior),
    tie: Float64Array.from({ length: 3 }, () => (held ? 0 : anyTie(random))),
    blind: held ? 0 : random.beta(...blindPrior),
    byCause: table.byCause.slice(),
    chancesOfSeen: new Float64Array(stageSets * (layout.labelCount + 1)),
    failed: new Uint8Array(layout.seen.length),
    fileFailures: new Int32Array(layout.line.length),
    machineFailures: new Int32Array(crowding.length),
    plateFailures: new Int32Array(crowding.length),
    fileEvents: new Events(lines.length),
    plateEvents: new Events(crowdings.length),
    machinePassed: new Int32Array(crowding.length),
    machineFailed: new Int32Array(crowding.length),
  }
  chancesBySet(state.byCause, state.blind, state.chancesOfSeen)
  if (held)
    coordinates(held.hyper).forEach((value, index) => {
      state.hyper[index] = value
    })
  else
    Object.values(hyperPriors).forEach(([mean, sd], index) => {
      state.hyper[index] = mean + sd * random.normal()
    })
  if (found) takeOver(state, found)
  drawFromPriors(state, layout, random)
  return state
}

/** Anywhere on the grid, however likely: chains are to begin far apart. */
const anyTie = (random: Random) => tieOf(rhoGrid[Math.floor(rhoGrid.length * random.uniform())]!)

function takeOver(state: State, { hyper, hazard, tie, blind, byCause }: GroupState): void {
  state.hyper.set(hyper)
  state.tie.set(tie)
  state.byCause.set(byCause)
  state.hazard = hazard
  state.blind = blind
  chancesBySet(byCause, blind, state.chancesOfSeen)
}

function drawFromPriors(state: State, layout: Layout, random: Random): void {
  const { mu0, k0, k, am, bm } = hyperAt(state.hyper)
  for (let sculptor = 0; sculptor < layout.sculptors.length; sculptor++) {
    state.mu.draw(sculptor, mu0 * k0, (1 - mu0) * k0, random)
    const [a, b] = [k * state.mu.pass[sculptor]!, k * state.mu.fail[sculptor]!]
    for (let line = layout.sculptorStart[sculptor]!; line < layout.sculptorStart[sculptor + 1]!; line++) {
      state.file.draw(line, a, b, random)
    }
  }
  for (let period = 0; period < layout.periods.length; period++) {
    state.machine.draw(period, am, bm, random)
    state.worn.draw(period, ...wornPrior, random)
  }
  crowdings.forEach((crowding, index) => {
    state.plate.draw(index, ...platePriors[crowding], random)
  })
}

const logitOf = (mean: number) => Math.log(mean / (1 - mean))

/** Hyperparameters on the scales on which they are drawn. */
export function coordinates({ mu0, k0, k, am, bm }: Hyper): number[] {
  return [logitOf(mu0), Math.log(k0), Math.log(k), Math.log(am / bm), Math.log(am + bm)]
}

/** And back. */
export function hyperAt(at: ArrayLike<number>): Hyper {
  const [machine, size] = [at[3]!, Math.exp(at[4]!)]
  return {
    mu0: 1 / (1 + Math.exp(-at[0]!)),
    k0: Math.exp(at[1]!),
    k: Math.exp(at[2]!),
    am: size / (1 + Math.exp(-machine)),
    bm: size / (1 + Math.exp(machine)),
  }
}
