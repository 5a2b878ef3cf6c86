// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { sumOf } from './draws.ts'
import { logBeta, logRisings } from './gamma.ts'
import type { Layout } from './layout.ts'
import { logistic, within } from './logit.ts'
import { hyperAt, priors } from './model.ts'
import type { Random } from './random.ts'
import type { State } from './state.ts'

/** How far a proposal's reach is adjusted while the chain finds its way, and to which share of accepted ones. */
const adjustment = 0.05
const acceptedShare = 0.44
/** Proposals a sculptor and sweep. */
const sculptorSteps = 2
/** Proposals a hyperparameter and sweep: they are quickly told, and one alone moves little. */
const hyperSteps = 3

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
  /** logits of sculptors' means */
  readonly #logit: Float64Array
  /** how far proposals go */
  readonly #reach: Float64Array
  readonly #hyperReach = Float64Array.of(0.2, 0.3, 0.2, 0.2, 0.3)
  #isTuned = false
  /** log density where the step in hand is */
  #now = 0

  constructor(layout: Layout, state: State, random: Random) {
    this.#layout = layout
    this.#state = state
    this.#random = random
    this.#logit = state.mu.pass.map((pass, sculptor) => within(Math.log(pass / state.mu.fail[sculptor]!)))
    this.#reach = new Float64Array(layout.sculptors.length).fill(0.7)
  }

  /** @param isTuned proposals reach as far as they do */
  step(isTuned: boolean): void {
    this.#isTuned = isTuned
    for (let sculptor = 0; sculptor < this.#logit.length; sculptor++) this.#stepSculptor(sculptor)
    if (this.#state.isHeld) return
    const likelihoodOfSculptors = this.#likelihoodOfSculptors()
    const likelihoodOfMachines = this.#likelihoodOfMachines()
    for (let step = 0; step < hyperSteps; step++) {
      this.#stepHypers([0, 1], likelihoodOfSculptors)
      this.#stepHypers([3, 4], likelihoodOfMachines)
    }
    this.#stepHypers([2], this.#likelihoodOfLines())
  }

  /** Where a proposal leads that sets out from `at`. */
  #move(at: number, reach: Float64Array, which: number, density: (at: number) => number): number {
    const after = within(at + reach[which]! * this.#random.normal())
    const then = density(after)
    const isTaken = Math.log(this.#random.uniform()) < then - this.#now
    if (!this.#isTuned) reach[which]! *= Math.exp(adjustment * ((isTaken ? 1 : 0) - acceptedShare))
    if (!isTaken) return at
    this.#now = then
    return after
  }

  #stepSculptor(sculptor: number): void {
    const { hyper, mu } = this.#state
    const { mu0, k0, k } = hyperAt(hyper)
    const density = (logit: number) => {
      const [mean, rest] = [logistic(logit), logistic(-logit)]
      // With d mu / d logit.
      const prior = mu0 * k0 * Math.log(mean) + (1 - mu0) * k0 * Math.log(rest)
      return prior + this.#likelihoodOfLinesOf(sculptor, k * mean, k * rest)
    }
    let logit = this.#logit[sculptor]!
    this.#now = density(logit)
    for (let step = 0; step < sculptorSteps; step++) logit = this.#move(logit, this.#reach, sculptor, density)
    this.#logit[sculptor] = logit
    mu.pass[sculptor] = logistic(logit)
    mu.fail[sculptor] = logistic(-logit)
  }

  /** One after the other, those on which one likelihood depends. */
  #stepHypers(some: readonly number[], likelihood: () => number): void {
    const { hyper } = this.#state
    this.#now = likelihood() + logPrior(hyper)
    for (const which of some) {
      hyper[which] = this.#move(hyper[which]!, this.#hyperReach, which, (value) => {
        hyper[which] = value
        return likelihood() + logPrior(hyper)
      })
    }
  }

  /** What depends on a and b alone; the lines' sizes are added where k is drawn. */
  #likelihoodOfLinesOf(sculptor: number, a: number, b: number): number {
    const { passed, failed } = this.#state.fileEvents
    const [from, to] = [this.#layout.sculptorStart[sculptor]!, this.#layout.sculptorStart[sculptor + 1]!]
    return logRisings(a, passed, from, to) + logRisings(b, failed, from, to)
  }

  #likelihoodOfLines(): () => number {
    const { hyper, mu, fileEvents } = this.#state
    const sizes = fileEvents.passed.map((passed, line) => passed + fileEvents.failed[line]!)
    return () => {
      const { k } = hyperAt(hyper)
      let sum = 0
      for (let sculptor = 0; sculptor < mu.pass.length; sculptor++) {
        sum += this.#likelihoodOfLinesOf(sculptor, k * mu.pass[sculptor]!, k * mu.fail[sculptor]!)
      }
      return sum - logRisings(k, sizes)
    }
  }

  #likelihoodOfSculptors(): () => number {
    const { pass, fail } = this.#state.mu
    let [logPass, logFail] = [0, 0]
    for (let sculptor = 0; sculptor < pass.length; sculptor++) {
      logPass += Math.log(pass[sculptor]!)
      logFail += Math.log(fail[sculptor]!)
    }
    return () => {
      const { mu0, k0 } = hyperAt(this.#state.hyper)
      const [a, b] = [mu0 * k0, (1 - mu0) * k0]
      return a * logPass + b * logFail - pass.length * logBeta(a, b)
    }
  }

  /** By their plates before the wear. */
  #likelihoodOfMachines(): () => number {
    const { hyper, change, machineEvents } = this.#state
    const inOrder = (events: Float64Array) =>
      Float64Array.from(change, (plates, period) => {
        const first = this.#layout.periodStart[period]!
        return sumOf(events, first, first + plates)
      })
    const [passed, failed] = [inOrder(machineEvents.passed), inOrder(machineEvents.failed)]
    const sizes = passed.map((events, period) => events + failed[period]!)
    return () => {
      const { am, bm } = hyperAt(hyper)
      return logRisings(am, passed) + logRisings(bm, failed) - logRisings(am + bm, sizes)
    }
  }
}

const logPrior = (hyper: Float64Array) =>
  priors.hyper.reduce((sum, [mean, sd], which) => sum - 0.5 * ((hyper[which]! - mean) / sd) ** 2, 0)
