// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { logBeta, logRising } from './beta.ts'
import type { Layout } from './layout.ts'
import { hyperPriors } from './model.ts'
import type { Random } from './random.ts'
import { hyperAt, type State } from './state.ts'

/** How far a proposal's reach is adjusted while the chain finds its way, and to which share of accepted ones. */
const adjustment = 0.05
const acceptedShare = 0.44
/** Proposals a sculptor and sweep. */
const sculptorSteps = 2
/** Proposals a hyperparameter and sweep: they are quickly told, and one alone moves little. */
const hyperSteps = 3
/** Means lie within these logits: beyond, a Beta's shape would be no number. */
const farthest = 30

/**
 * Step 3: sculptors' means and the group's hyperparameters by random-walk Metropolis steps on logits and logarithms, given
 * the events, with every line's and machine's success integrated out.
 *
 * @see Metropolis et al. (1953), Equation of state calculations by fast computing machines, J. Chem. Phys. 21, 1087-1092
 */
export class HyperSteps {
  readonly #layout: Layout
  readonly #state: State
  readonly #random: Random
  readonly #isHeld: boolean
  /** logits of sculptors' means, and how far proposals go */
  readonly #logit: Float64Array
  readonly #reach: Float64Array
  readonly #hyperReach = Float64Array.of(0.2, 0.3, 0.2, 0.2, 0.3)
  /** by period: events before the wear */
  readonly #passed: Float64Array
  readonly #failed: Float64Array

  /** @param isHeld the group's hyperparameters stay, sculptors' means are drawn all the same */
  constructor(layout: Layout, state: State, random: Random, isHeld: boolean) {
    this.#layout = layout
    this.#state = state
    this.#random = random
    this.#isHeld = isHeld
    this.#logit = Float64Array.from(state.mu.pass, (pass, sculptor) =>
      within(Math.log(pass / state.mu.fail[sculptor]!)),
    )
    this.#reach = new Float64Array(layout.sculptors.length).fill(0.7)
    this.#passed = new Float64Array(layout.periods.length)
    this.#failed = new Float64Array(layout.periods.length)
  }

  /** @param isSettled proposals reach as far as they do */
  step(isSettled: boolean): void {
    for (let sculptor = 0; sculptor < this.#logit.length; sculptor++) this.#stepSculptor(sculptor, isSettled)
    if (this.#isHeld) return
    this.#sumPeriods()
    for (let step = 0; step < hyperSteps; step++) {
      for (const which of [0, 1]) this.#stepHyper(which, () => this.#likelihoodOfSculptors(), isSettled)
      for (const which of [3, 4]) this.#stepHyper(which, () => this.#likelihoodOfMachines(), isSettled)
    }
    this.#stepHyper(2, () => this.#likelihoodOfLines(), isSettled)
  }

  #stepSculptor(sculptor: number, isSettled: boolean): void {
    const { mu0, k0, k } = hyperAt(this.#state.hyper)
    const likelihood = (logit: number) => {
      const [mu, rest] = [1 / (1 + Math.exp(-logit)), 1 / (1 + Math.exp(logit))]
      // With d mu / d logit.
      const prior = mu0 * k0 * Math.log(mu) + (1 - mu0) * k0 * Math.log(rest)
      return prior + this.#likelihoodOfLinesOf(sculptor, k * mu, k * rest)
    }
    let now = likelihood(this.#logit[sculptor]!)
    for (let step = 0; step < sculptorSteps; step++) {
      const after = within(this.#logit[sculptor]! + this.#reach[sculptor]! * this.#random.normal())
      const then = likelihood(after)
      const isTaken = Math.log(this.#random.uniform()) < then - now
      if (isTaken) {
        now = then
        this.#logit[sculptor] = after
      }
      if (!isSettled) this.#reach[sculptor]! *= Math.exp(adjustment * ((isTaken ? 1 : 0) - acceptedShare))
    }
    this.#state.mu.pass[sculptor] = 1 / (1 + Math.exp(-this.#logit[sculptor]!))
    this.#state.mu.fail[sculptor] = 1 / (1 + Math.exp(this.#logit[sculptor]!))
  }

  /** What depends on a and b alone; the lines' sizes are added where k is drawn. */
  #likelihoodOfLinesOf(sculptor: number, a: number, b: number): number {
    const { passed, failed } = this.#state.fileEvents
    const start = this.#layout.sculptorStart
    let sum = 0
    for (let line = start[sculptor]!; line < start[sculptor + 1]!; line++) {
      sum += logRising(a, passed[line]!) + logRising(b, failed[line]!)
    }
    return sum
  }

  #stepHyper(which: number, likelihood: () => number, isSettled: boolean): void {
    const at = this.#state.hyper
    const before = at[which]!
    const old = likelihood() + logPrior(at)
    at[which] = before + this.#hyperReach[which]! * this.#random.normal()
    const isTaken = Math.log(this.#random.uniform()) < likelihood() + logPrior(at) - old
    if (!isTaken) at[which] = before
    if (!isSettled) this.#hyperReach[which]! *= Math.exp(adjustment * ((isTaken ? 1 : 0) - acceptedShare))
  }

  #likelihoodOfSculptors(): number {
    const { mu0, k0 } = hyperAt(this.#state.hyper)
    const [a, b] = [mu0 * k0, (1 - mu0) * k0]
    const { pass, fail } = this.#state.mu
    let sum = -pass.length * logBeta(a, b)
    for (let sculptor = 0; sculptor < pass.length; sculptor++) {
      sum += a * Math.log(pass[sculptor]!) + b * Math.log(fail[sculptor]!)
    }
    return sum
  }

  #likelihoodOfLines(): number {
    const { k } = hyperAt(this.#state.hyper)
    const { mu, fileEvents } = this.#state
    let sum = 0
    for (let sculptor = 0; sculptor < mu.pass.length; sculptor++) {
      sum += this.#likelihoodOfLinesOf(sculptor, k * mu.pass[sculptor]!, k * mu.fail[sculptor]!)
    }
    for (let line = 0; line < fileEvents.passed.length; line++) {
      sum -= logRising(k, fileEvents.passed[line]! + fileEvents.failed[line]!)
    }
    return sum
  }

  #sumPeriods(): void {
    const { periodStart } = this.#layout
    const { change, machinePassed, machineFailed } = this.#state
    for (let period = 0; period < change.length; period++) {
      let [passed, failed] = [0, 0]
      for (let plate = periodStart[period]!; plate < periodStart[period]! + change[period]!; plate++) {
        passed += machinePassed[plate]!
        failed += machineFailed[plate]!
      }
      this.#passed[period] = passed
      this.#failed[period] = failed
    }
  }

  #likelihoodOfMachines(): number {
    const { am, bm } = hyperAt(this.#state.hyper)
    let sum = 0
    for (let period = 0; period < this.#passed.length; period++) {
      const [passed, failed] = [this.#passed[period]!, this.#failed[period]!]
      sum += logRising(am, passed) + logRising(bm, failed) - logRising(am + bm, passed + failed)
    }
    return sum
  }
}

const within = (logit: number) => Math.max(-farthest, Math.min(farthest, logit))

const priors = Object.values(hyperPriors)

function logPrior(at: Float64Array): number {
  return at.reduce((sum, value, which) => sum - 0.5 * ((value - priors[which]![0]) / priors[which]![1]) ** 2, 0)
}
