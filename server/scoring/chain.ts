// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { drawAllEvents } from './events.ts'
import { type Blame, drawFailedStages } from './failed-stages.ts'
import { HyperSteps } from './hyper-steps.ts'
import type { Table } from './labels.ts'
import type { Layout } from './layout.ts'
import { crowdings, hazardPrior, platePriors, wornPrior } from './model.ts'
import type { Random } from './random.ts'
import { drawTable } from './seen-table.ts'
import { type GroupState, type Held, hyperAt, type State, startingState } from './state.ts'
import { swapFailedStages } from './swapped-stages.ts'
import { drawTies } from './ties.ts'
import { changePoint } from './wear.ts'

/** Every so many sweeps the ties are drawn: they move little, and cost much. */
const sweepsPerTie = 3

/** What is summed while sweeps count. */
export type Sums = {
  blame: Blame
  /** by plate: chances that the machine was worn on it */
  worn: Float64Array
}

/** Where sweeps that count add up; with it a chain's steps stay as they are. */
export function emptySums({ line, crowding }: Layout): Sums {
  return {
    blame: { file: new Float64Array(line.length), machine: new Float64Array(line.length) },
    worn: new Float64Array(crowding.length),
  }
}

export type ChainOptions = {
  random: Random
  table: Table
  /** keeps hyperparameters and table, copies independent, and machines without wear */
  held?: Held | undefined
  /** where to start; drawn from the priors when left out */
  start?: State | undefined
  /** what a chain on a part of the group has found of the whole */
  found?: GroupState | undefined
}

/**
 * One Markov chain over everything that is not known of a group, given its plates.
 *
 * @see Tanner & Wong (1987), The calculation of posterior distributions by data augmentation, JASA 82, 528-540
 * @see Gelfand & Smith (1990), Sampling-based approaches to calculating marginal densities, JASA 85, 398-409
 */
export class Chain {
  readonly state: State
  readonly #layout: Layout
  readonly #random: Random
  readonly #table: Float64Array
  readonly #isHeld: boolean
  readonly #hyper: HyperSteps
  readonly #weights: Float64Array
  #sweeps = 0

  constructor(layout: Layout, { random, table, held, start, found }: ChainOptions) {
    this.#layout = layout
    this.#random = random
    this.#table = table.byCause
    this.#isHeld = held !== undefined
    this.state = start ?? startingState(layout, table, held, random, found)
    this.#hyper = new HyperSteps(layout, this.state, random, this.#isHeld)
    this.#weights = new Float64Array(1 + longest(layout.periodStart))
  }

  /** @param sums where to add what counts; while the chain finds its way there is none, and its steps are tuned */
  sweep(sums?: Sums): void {
    drawFailedStages(this.#layout, this.state, this.#random, sums?.blame)
    swapFailedStages(this.#layout, this.state, this.#random)
    drawAllEvents(this.#layout, this.state, this.#random)
    this.#hyper.step(sums !== undefined)
    this.#drawMachines(sums?.worn)
    this.#drawLines()
    this.#drawPlates()
    if (this.#isHeld) return
    drawTable(this.#layout, this.state, this.#table, this.#random)
    if (this.#sweeps++ % sweepsPerTie === 0) drawTies(this.#layout, this.state, this.#random)
  }

  /** Step 4: every period's change point, the hazard, and success before and after. */
  #drawMachines(worn: Float64Array | undefined): void {
    const { periodStart } = this.#layout
    const { machine, change, machinePassed: passed, machineFailed: failed } = this.state
    const { am, bm } = hyperAt(this.state.hyper)
    let [began, survived] = [0, 0]
    for (let period = 0; period < change.length; period++) {
      const [from, to] = [periodStart[period]!, periodStart[period + 1]!]
      const plates = to - from
      changePoint({ passed, failed, from, to }, [am, bm], this.state.hazard, this.#weights)
      change[period] = this.#random.index(this.#weights, plates + 1)
      if (change[period]! < plates) began++
      survived += change[period]!
      if (worn) addWorn(this.#weights, worn, from, plates)
      this.#drawMachine(period, from, to, am, bm, machine)
    }
    if (!this.#isHeld) this.state.hazard = this.#random.beta(hazardPrior[0] + began, hazardPrior[1] + survived)
  }

  #drawMachine(period: number, from: number, to: number, am: number, bm: number, machine: State['machine']): void {
    const { change, worn, machinePassed: passed, machineFailed: failed } = this.state
    let [a, b] = [am, bm]
    let plate = from
    for (const before = from + change[period]!; plate < before; plate++) {
      a += passed[plate]!
      b += failed[plate]!
    }
    machine.draw(period, a, b, this.#random)
    if (plate === to) return
    a = wornPrior[0]
    b = wornPrior[1]
    for (; plate < to; plate++) {
      a += passed[plate]!
      b += failed[plate]!
    }
    worn.draw(period, a, b, this.#random)
  }

  #drawLines(): void {
    const { sculptorStart } = this.#layout
    const { mu, file, fileEvents } = this.state
    const { k } = hyperAt(this.state.hyper)
    for (let sculptor = 0; sculptor < mu.pass.length; sculptor++) {
      const [a, b] = [k * mu.pass[sculptor]!, k * mu.fail[sculptor]!]
      for (let line = sculptorStart[sculptor]!; line < sculptorStart[sculptor + 1]!; line++) {
        file.draw(line, a + fileEvents.passed[line]!, b + fileEvents.failed[line]!, this.#random)
      }
    }
  }

  #drawPlates(): void {
    const { plate, plateEvents } = this.state
    crowdings.forEach((crowding, index) => {
      const [a, b] = platePriors[crowding]
      plate.draw(index, a + plateEvents.passed[index]!, b + plateEvents.failed[index]!, this.#random)
    })
  }
}

function addWorn(weights: Float64Array, worn: Float64Array, from: number, plates: number): void {
  let sum = 0
  for (let plate = 0; plate < plates; plate++) {
    sum += weights[plate]!
    worn[from + plate]! += sum
  }
}

function longest(start: Int32Array): number {
  let most = 0
  for (let index = 1; index < start.length; index++) most = Math.max(most, start[index]! - start[index - 1]!)
  return most
}
