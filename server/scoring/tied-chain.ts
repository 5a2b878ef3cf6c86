// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { CaseCounts } from './case-counts.ts'
import { HyperSteps } from './hyper-steps.ts'
import { stageSets } from './labels.ts'
import { PassedEvents } from './passed-events.ts'
import { crowdings, type Hyper, platePriors } from './priors.ts'
import { Random } from './random.ts'
import type { TiedReports } from './tied-reports.ts'
import { manyCopies } from './ties.ts'

type Given = {
  /** see sizeOfTies */
  size: number
  /** where the hyperparameters start, and stay with `hold` */
  hyper: Hyper
  hold?: boolean
  /** by node, where its success starts, 0-1 */
  success: Float64Array
  /** chances by label and set of failed stages */
  table: Float64Array
  /** the same seed gives the same chain */
  seed: number
}

/** No chance is smaller: what is multiplied by it stays a number. */
const smallest = 1e-300

/**
 * Gibbs sampling from the posterior of a whole group, the copies of a plate tied and the hyperparameters unknown. By
 * turns: which stages failed on each failed copy, given the other copies of its plate; into how many events every plate's
 * copies fall, which makes their evidence that of independent ones (ties.ts); the hyperparameters and the sculptors' means
 * given the events, with every success integrated out; and every node's success.
 *
 * Reports that count less than 1 enter with their share of the events. What the group is like is drawn as if all members
 * counted in full: evidence that is watered down looks as if everything were alike.
 *
 * @see Blackwell & MacQueen (1973), Ferguson distributions via Polya urn schemes, Annals of Statistics 1, 353-355
 * @see Antoniak (1974), Mixtures of Dirichlet processes, Annals of Statistics 2, 1152-1174
 * @see Gelfand & Smith (1990), Sampling-based approaches to calculating marginal densities, JASA 85, 398-409
 */
export class TiedChain {
  readonly counts: CaseCounts
  readonly #reports: TiedReports
  readonly #nodes: Int32Array
  readonly #size: number
  readonly #table: Float64Array
  readonly #random: Random
  readonly #hyper: HyperSteps
  /** chances to pass and to fail of every node */
  readonly #chances: Float64Array
  /** by report and stage: copies that failed there */
  readonly #bad: Int32Array
  /** by failed copy: its failed stages */
  readonly #failed: Uint8Array
  /** by node: events that passed and failed, by their reports' weights; as if all members counted alike; the failed ones */
  readonly #x: Float64Array
  readonly #y: Float64Array
  readonly #plain: { x: Float64Array; y: Float64Array }
  readonly #own: Int32Array
  readonly #passed: PassedEvents
  readonly #sums = new Float64Array(stageSets)
  /** of the copy in hand: chances to fail and to pass each stage */
  readonly #urn = new Float64Array(6)

  constructor(reports: TiedReports, { size, hyper, hold = false, success, table, seed }: Given) {
    const nodes = reports.nodeCount
    this.#reports = reports
    this.#nodes = reports.nodes()
    this.#size = size
    this.#table = table
    this.#random = new Random(seed)
    this.#x = new Float64Array(nodes)
    this.#y = new Float64Array(nodes)
    this.#plain = { x: new Float64Array(nodes), y: new Float64Array(nodes) }
    this.#own = new Int32Array(nodes)
    this.counts = new CaseCounts(nodes)
    this.#hyper = new HyperSteps({ hyper, hold }, this.#plain, reports, this.#random)
    this.#chances = Float64Array.from({ length: 2 * nodes }, (_, at) => {
      return Math.max(smallest, at % 2 === 0 ? success[at >> 1]! : 1 - success[at >> 1]!)
    })
    this.#passed = new PassedEvents(reports, this.#nodes, size)
    this.#bad = new Int32Array(3 * reports.count)
    this.#failed = new Uint8Array(reports.row.length)
    this.#drawBlame()
  }

  /** @param counting whether what is drawn is to be told afterwards, or only lets the chain find its way */
  run(sweeps: number, counting: boolean): void {
    for (let sweep = 0; sweep < sweeps; sweep++) {
      this.#drawEvents()
      this.#hyper.step(counting)
      if (counting) this.#eachNode((node, a, b) => this.#count(node, a, b))
      this.#eachNode((node, a, b) => this.#drawSuccess(node, a, b))
      this.#drawBlame()
    }
  }

  /** Mean of the hyperparameters over the sweeps that counted. */
  get hyper(): Hyper {
    return this.#hyper.mean
  }

  #drawEvents(): void {
    const { tried, fileWeight, memberWeight, count } = this.#reports
    for (const counts of [this.#x, this.#y, this.#plain.x, this.#plain.y, this.#own]) counts.fill(0)
    this.#passed.follow(this.#chances)
    for (let report = 0; report < count; report++) {
      for (let stage = 0; stage < 3; stage++) {
        const at = 3 * report + stage
        const node = this.#nodes[at]!
        const worth = stage === 0 ? fileWeight[report]! : 1
        const weight = worth * memberWeight[report]!
        const failed = this.#drawFailed(this.#bad[at]!, this.#size * this.#chances[2 * node + 1]!)
        const passed = this.#passed.at(node, tried[report]! - this.#bad[at]!)
        this.#x[node]! += weight * passed
        this.#y[node]! += weight * failed
        this.#plain.x[node]! += worth * passed
        this.#plain.y[node]! += worth * failed
        this.#own[node]! += failed
      }
    }
  }

  /** Into how many events failed copies fall, drawn; beyond many copies, how many more are expected. */
  #drawFailed(copies: number, own: number): number {
    if (copies <= 1 || own === Number.POSITIVE_INFINITY) return copies
    let events = 1
    const few = Math.min(copies, manyCopies)
    for (let copy = 1; copy < few; copy++) if (this.#random.uniform() * (own + copy) < own) events++
    if (copies > few) events += Math.round(own * Math.log((own + copies - 0.5) / (own + few - 0.5)))
    return events
  }

  /** Every node with the prior that the present hyperparameters give it. */
  #eachNode(act: (node: number, a: number, b: number) => void): void {
    const { sets, periods, groupOfSet } = this.#reports
    const { mu, rest } = this.#hyper
    const { k, am, bm } = this.#hyper.now
    const plates = sets.count + periods.count
    for (let set = 0; set < sets.count; set++) act(set, k * mu[groupOfSet[set]!]!, k * rest[groupOfSet[set]!]!)
    for (let node = sets.count; node < plates; node++) act(node, am, bm)
    crowdings.forEach((crowding, plate) => {
      act(plates + plate, ...platePriors[crowding])
    })
  }

  /** Of sets without their prior: that is their sculptor's, who is integrated out for show (sculptor-grid.ts). */
  #count(node: number, a: number, b: number): void {
    const [x, y] = [this.#x[node]!, this.#y[node]!]
    if (node < this.#reports.sets.count) this.counts.addEvidence(node, this.#own[node]!, x, y)
    else this.counts.addLaw(node, this.#own[node]!, [a + x, b + y])
  }

  #drawSuccess(node: number, a: number, b: number): void {
    const odds = Math.exp(
      this.#random.logGamma(b + this.#plain.y[node]!) - this.#random.logGamma(a + this.#plain.x[node]!),
    )
    this.#chances[2 * node] = Math.max(smallest, 1 / (1 + odds))
    this.#chances[2 * node + 1] = Math.max(smallest, 1 / (1 + 1 / odds))
  }

  /** Draws for every failed copy which stages failed. The first time, copies that have no blame yet say nothing. */
  #drawBlame(): void {
    const { start, tried, count } = this.#reports
    for (let report = 0; report < count; report++) {
      for (let copy = start[report]!; copy < start[report + 1]!; copy++) {
        const before = this.#failed[copy]!
        this.#blame(report, before, -1)
        const missing = before === 0 ? start[report + 1]! - copy - 1 : 0
        this.#failed[copy] = this.#drawStages(report, copy, tried[report]! - 1 - missing)
        this.#blame(report, this.#failed[copy]!, 1)
      }
    }
  }

  #blame(report: number, failed: number, by: number): void {
    const at = 3 * report
    if (failed & 1) this.#bad[at]! += by
    if (failed & 2) this.#bad[at + 1]! += by
    if (failed & 4) this.#bad[at + 2]! += by
  }

  /** @param others copies of the plate whose fate is given */
  #drawStages(report: number, copy: number, others: number): number {
    const urn = this.#urn
    for (let stage = 0; stage < 3; stage++) {
      const node = this.#nodes[3 * report + stage]!
      const bad = this.#bad[3 * report + stage]!
      const isTied = this.#size !== Number.POSITIVE_INFINITY
      const [pass, fail] = [this.#chances[2 * node]!, this.#chances[2 * node + 1]!]
      urn[2 * stage] = isTied ? this.#size * pass + others - bad : pass
      urn[2 * stage + 1] = isTied ? this.#size * fail + bad : fail
    }
    const row = this.#reports.row[copy]!
    let sum = 0
    for (let failed = 1; failed < stageSets; failed++) {
      sum += this.#table[row + failed]! * urn[failed & 1]! * urn[2 + ((failed >> 1) & 1)]! * urn[4 + (failed >> 2)]!
      this.#sums[failed] = sum
    }
    const drawn = sum * this.#random.uniform()
    let failed = 1
    while (failed < stageSets - 1 && drawn > this.#sums[failed]!) failed++
    return failed
  }
}
