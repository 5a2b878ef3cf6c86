// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { logBeta, logGamma, mean, secondMoment, shapeOfMoments } from './beta.ts'
import { orderByKey } from './ordering.ts'
import { type Hyper, startingHyper } from './priors.ts'
import type { Random } from './random.ts'
import type { TiedReports } from './tied-reports.ts'

/** How far a proposal is adjusted while the chain finds its way, and to which share of accepted ones. */
const adjustment = 0.05
const acceptedShare = 0.44

/** Two proposals a sculptor and sweep. */
const sculptorSteps = 2

/** Means lie within these logits: beyond, a Beta's shape would be no number. */
const farthest = 30

/**
 * What the group as a whole is like, drawn anew given every node's events: Metropolis steps in logits of means and
 * logarithms of sizes, with every success integrated out. Priors are normal, around logit .85, logit .9 and log 10.
 *
 * @see Metropolis et al. (1953), Equation of state calculations by fast computing machines, J. Chem. Phys. 21, 1087-1092
 */
export class HyperSteps {
  /** mean of every sculptor, and 1 less it */
  readonly mu: Float64Array
  readonly rest: Float64Array
  readonly #x: Float64Array
  readonly #y: Float64Array
  readonly #sets: number
  readonly #periods: number
  /** sets in the order of their sculptors, and where each sculptor's start */
  readonly #order: Int32Array
  readonly #start: Int32Array
  readonly #random: Random
  readonly #hold: boolean
  /** logit of every sculptor's mean, and how far proposals go */
  readonly #logit: Float64Array
  readonly #reach: Float64Array
  /** of the group: logit of mu0, log k0, log k; logit of am's mean, log of am + bm */
  readonly #at: Float64Array
  readonly #far = Float64Array.of(0.2, 0.3, 0.2, 0.2, 0.3)
  /** over the sweeps that counted: of the first three; and of a printer's success after upkeep, first and second moment */
  readonly #sums = new Float64Array(5)
  #counted = 0

  /**
   * @param start where the hyperparameters are to begin; with `hold` only sculptors' means are drawn
   * @param totals by node, changed in place by whoever draws the events
   */
  constructor(
    { hyper, hold }: { hyper: Hyper; hold: boolean },
    totals: { x: Float64Array; y: Float64Array },
    reports: TiedReports,
    random: Random,
  ) {
    const { mu0, k0, k, am, bm } = hyper
    this.#hold = hold
    const groups = reports.groups.count
    this.#x = totals.x
    this.#y = totals.y
    this.#sets = reports.sets.count
    this.#periods = reports.periods.count
    const { start, order } = orderByKey(reports.groupOfSet, groups)
    this.#start = start
    this.#order = order
    this.#random = random
    this.#at = Float64Array.of(logitOf(mu0), Math.log(k0), Math.log(k), Math.log(am / bm), Math.log(am + bm))
    this.#logit = new Float64Array(groups).fill(logitOf(mu0))
    this.#reach = new Float64Array(groups).fill(0.7)
    this.mu = new Float64Array(groups).fill(mu0)
    this.rest = new Float64Array(groups).fill(1 - mu0)
  }

  get now(): Hyper {
    return hyperAt(this.#at)
  }

  /**
   * Of the sweeps that counted: for files in logits and logarithms; for printers the Beta nearest to what may be expected
   * of one after upkeep, its own uncertainty included.
   */
  get mean(): Hyper {
    const [logit = 0, logK0 = 0, logK = 0, first = 0, second = 0] = this.#sums.map((sum) => sum / this.#counted)
    const [am, bm] = shapeOfMoments(first, second)
    return { ...hyperAt(Float64Array.of(logit, logK0, logK, 0, 0)), am, bm }
  }

  /** @param counting proposals stay as they are, and what is drawn enters the mean */
  step(counting: boolean): void {
    for (let group = 0; group < this.#logit.length; group++) {
      for (let turn = 0; turn < sculptorSteps; turn++) this.#stepSculptor(group, counting)
    }
    if (!this.#hold) this.#stepAll(counting)
    if (counting) this.#count()
  }

  #stepAll(counting: boolean): void {
    for (const which of [0, 1]) this.#stepHyper(which, () => this.#chanceOfSculptors(), counting)
    this.#stepHyper(2, () => this.#chanceOfSets(), counting)
    for (const which of [3, 4]) this.#stepHyper(which, () => this.#chanceOfPeriods(), counting)
  }

  #count(): void {
    const { am, bm } = this.now
    this.#counted++
    for (const which of [0, 1, 2]) this.#sums[which]! += this.#at[which]!
    this.#sums[3]! += mean([am, bm])
    this.#sums[4]! += secondMoment([am, bm])
  }

  #stepSculptor(group: number, isSettled: boolean): void {
    const before = this.#logit[group]!
    const after = Math.max(-farthest, Math.min(farthest, before + this.#reach[group]! * this.#random.normal()))
    const ratio = this.#chanceOfSculptor(group, after) - this.#chanceOfSculptor(group, before)
    const isTaken = Math.log(this.#random.uniform()) < ratio
    if (isTaken) this.#place(group, after)
    if (!isSettled) this.#reach[group]! *= Math.exp(adjustment * ((isTaken ? 1 : 0) - acceptedShare))
  }

  #place(group: number, logit: number): void {
    this.#logit[group] = logit
    this.mu[group] = 1 / (1 + Math.exp(-logit))
    this.rest[group] = 1 / (1 + Math.exp(logit))
  }

  /** Logarithm of prior (with d mu / d logit) times what the sculptor's sets say. */
  #chanceOfSculptor(group: number, logit: number): number {
    const { mu0, k0, k } = this.now
    const [mu, rest] = [1 / (1 + Math.exp(-logit)), 1 / (1 + Math.exp(logit))]
    const prior = mu0 * k0 * Math.log(mu) + (1 - mu0) * k0 * Math.log(rest)
    return prior + this.#chanceOfSetsOf(group, k * mu, k * rest)
  }

  #chanceOfSetsOf(group: number, a: number, b: number): number {
    const [from, to] = [this.#start[group]!, this.#start[group + 1]!]
    let sum = -(to - from) * (logGamma(a) + logGamma(b))
    for (let at = from; at < to; at++) {
      const set = this.#order[at]!
      sum += logGamma(a + this.#x[set]!) + logGamma(b + this.#y[set]!)
    }
    return sum
  }

  #stepHyper(which: number, chance: () => number, isSettled: boolean): void {
    const before = this.#at[which]!
    const old = chance() + logPrior(this.#at)
    this.#at[which] = before + this.#far[which]! * this.#random.normal()
    const isTaken = Math.log(this.#random.uniform()) < chance() + logPrior(this.#at) - old
    if (!isTaken) this.#at[which] = before
    if (!isSettled) this.#far[which]! *= Math.exp(adjustment * ((isTaken ? 1 : 0) - acceptedShare))
  }

  #chanceOfSculptors(): number {
    const { mu0, k0 } = this.now
    const [a, b] = [mu0 * k0, (1 - mu0) * k0]
    let sum = -this.mu.length * logBeta(a, b)
    for (let group = 0; group < this.mu.length; group++) {
      sum += a * Math.log(this.mu[group]!) + b * Math.log(this.rest[group]!)
    }
    return sum
  }

  #chanceOfSets(): number {
    const { k } = this.now
    let sum = 0
    for (let group = 0; group < this.mu.length; group++) {
      sum += this.#chanceOfSetsOf(group, k * this.mu[group]!, k * this.rest[group]!)
    }
    const before = logGamma(k)
    for (let set = 0; set < this.#sets; set++) sum += before - logGamma(k + this.#x[set]! + this.#y[set]!)
    return sum
  }

  #chanceOfPeriods(): number {
    const { am, bm } = this.now
    let sum = -this.#periods * logBeta(am, bm)
    for (let node = this.#sets; node < this.#sets + this.#periods; node++) {
      sum += logBeta(am + this.#x[node]!, bm + this.#y[node]!)
    }
    return sum
  }
}

const logitOf = (mean: number) => Math.log(mean / (1 - mean))

const { mu0, k0, k, am, bm } = startingHyper
const middle = [logitOf(mu0), Math.log(k0), Math.log(k), Math.log(am / bm), Math.log(am + bm)]
/** For files what three more sculptors of the starting prior would say, for machines as in best-shape.ts. */
const spread = [0.5, 0.8, 0.8, 1, 1]

function logPrior(at: Float64Array): number {
  return at.reduce((sum, value, which) => sum - 0.5 * ((value - middle[which]!) / spread[which]!) ** 2, 0)
}

function hyperAt(at: Float64Array): Hyper {
  const [logit = 0, logK0 = 0, logK = 0, machine = 0, size = 0] = at
  return {
    mu0: 1 / (1 + Math.exp(-logit)),
    k0: Math.exp(logK0),
    k: Math.exp(logK),
    am: Math.exp(size) / (1 + Math.exp(-machine)),
    bm: Math.exp(size) / (1 + Math.exp(machine)),
  }
}
