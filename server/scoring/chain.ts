// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { sumOf } from './draws.ts'
import { drawAllEvents } from './events.ts'
import { type Blame, drawFailedStages } from './failed-stages.ts'
import { HyperSteps } from './hyper-steps.ts'
import type { Table } from './labels.ts'
import type { Layout } from './layout.ts'
import { hyperAt, priors, type Shape } from './model.ts'
import type { Random } from './random.ts'
import { drawTable } from './seen-table.ts'
import { drawLinesOf, drawPlates, type State } from './state.ts'
import { swapFailedStages } from './swapped-stages.ts'
import { drawTies } from './ties.ts'
import { changePoint } from './wear.ts'

/** Every so many sweeps the ties are drawn: they move little, and cost much. */
const sweepsPerTie = 3

/** Where sweeps that count add up. */
export function emptySums({ line, crowding }: Layout) {
  return {
    blame: { file: new Float64Array(line.length), machine: new Float64Array(line.length) } satisfies Blame,
    /** by plate: chances that the machine was worn on it */
    worn: new Float64Array(crowding.length),
  }
}
export type Sums = ReturnType<typeof emptySums>

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
  readonly #hyper: HyperSteps
  /** of a period's change points; it may have all plates */
  readonly #weights: Float64Array
  #sweeps = 0

  /**
   * @param state where it starts, and later stands
   * @param table before any report
   */
  constructor(layout: Layout, state: State, table: Table, random: Random) {
    this.#layout = layout
    this.state = state
    this.#random = random
    this.#table = table.byCause
    this.#hyper = new HyperSteps(layout, state, random)
    this.#weights = new Float64Array(layout.plateIds.length + 1)
  }

  /** @param sums where to add what counts; while the chain finds its way there is none, and its steps are tuned */
  sweep(sums?: Sums): void {
    const [layout, state, random] = [this.#layout, this.state, this.#random]
    drawFailedStages(layout, state, random, sums?.blame)
    swapFailedStages(layout, state, random)
    drawAllEvents(layout, state, random)
    this.#hyper.step(sums !== undefined)
    this.#drawMachines(sums?.worn)
    const { k } = hyperAt(state.hyper)
    for (let sculptor = 0; sculptor < layout.sculptors.length; sculptor++)
      drawLinesOf(sculptor, layout, state, k, random)
    drawPlates(state, random)
    if (state.isHeld) return
    drawTable(layout, state, this.#table, random)
    if (this.#sweeps++ % sweepsPerTie === 0) drawTies(layout, state, random)
  }

  /** Step 4: every period's change point, the hazard, and success before and after. */
  #drawMachines(worn: Float64Array | undefined): void {
    const { state } = this
    const { periodStart, periods } = this.#layout
    const { am, bm } = hyperAt(state.hyper)
    let [began, survived] = [0, 0]
    for (let period = 0; period < periods.length; period++) {
      const [from, to] = [periodStart[period]!, periodStart[period + 1]!]
      changePoint(state.machineEvents, from, to, [am, bm], state.hazard, this.#weights)
      const change = this.#random.index(this.#weights, to - from + 1)
      state.change[period] = change
      if (change < to - from) began++
      survived += change
      if (worn) addUp(this.#weights, worn.subarray(from, to))
      this.#drawMachine(state.machine, period, [am, bm], from, from + change)
      if (change < to - from) this.#drawMachine(state.worn, period, priors.worn, from + change, to)
    }
    if (!state.isHeld) state.hazard = this.#random.beta(priors.hazard[0] + began, priors.hazard[1] + survived)
  }

  /** Success of a period's machine on plates on which it is in order, or worn. */
  #drawMachine(chances: State['machine'], period: number, [a, b]: Shape, from: number, to: number): void {
    const { passed, failed } = this.state.machineEvents
    chances.draw(period, sumOf(passed, from, to, a), sumOf(failed, from, to, b), this.#random)
  }
}

/** Adds to every plate's chance that the machine was worn on it. */
function addUp(weights: Float64Array, worn: Float64Array): void {
  let sum = 0
  for (let plate = 0; plate < worn.length; plate++) worn[plate]! += sum += weights[plate]!
}
