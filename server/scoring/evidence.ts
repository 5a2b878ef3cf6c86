// biome-ignore-all lint/style/noNonNullAssertion: arrays filled side by side, indexed within their bounds
import { type Chances, chancesOf, type LabelTable, seenLabels, stageSets } from './labels.ts'
import { addMessage, linkSize, type Message, type Network, placeSite, siteSize } from './network.ts'
import { Names, orderByKey } from './ordering.ts'
import { crowdings, type Hyper, platePriors, startingRho } from './priors.ts'
import { type Counted, counted, type Report } from './reports.ts'
import { groupPrior, priorOfSet } from './sculptor-tier.ts'

/** A network that knows which report and label each of its sites came from. */
export type EvidenceNetwork = Network & { siteNames: { reportId: string | undefined; seen: string }[] }

/** Collects reports one by one, from an array or straight from a database cursor, and lays them out for the sweep. */
export class Evidence {
  readonly #rho: number
  readonly #chances: Chances
  readonly #groups = new Names()
  readonly #sets = new Names()
  readonly #periods = new Names()
  readonly #groupOfSet: number[] = []
  readonly #goodOfSet: number[] = []
  readonly #goodOfPeriod: number[] = []
  readonly #goodOfPlate = crowdings.map(() => 0)
  /** by site */
  readonly #set: number[] = []
  readonly #period: number[] = []
  readonly #plate: number[] = []
  readonly #row: number[] = []
  readonly #weight: number[] = []
  readonly #fileWeight: number[] = []
  readonly #message: (Message | null)[] = []
  readonly #reportId: (string | undefined)[] = []

  /** @throws RangeError for a label table that makes no sense */
  constructor({ rho = startingRho, labels = seenLabels }: { rho?: number; labels?: LabelTable } = {}) {
    this.#rho = rho
    this.#chances = chancesOf(labels)
  }

  /** @throws RangeError for a report that makes no sense, or a set that an earlier report put into another group */
  add(report: Report<string>): void {
    const { good, weight, fileWeight, failures } = counted(report, this.#chances, this.#rho)
    const set = this.#setOf(report)
    const period = this.#periods.indexOf(report.printerPeriod)
    const plate = crowdings.indexOf(report.crowding)
    this.#goodOfSet[set] = (this.#goodOfSet[set] ?? 0) + good * fileWeight
    this.#goodOfPeriod[period] = (this.#goodOfPeriod[period] ?? 0) + good * weight
    this.#goodOfPlate[plate]! += good * weight
    for (const failure of failures) this.#addSite(report.id, set, period, plate, weight, fileWeight, failure)
  }

  #setOf({ supportSet, group }: Report<string>): number {
    const groupIndex = this.#groups.indexOf(group)
    const set = this.#sets.indexOf(supportSet)
    this.#groupOfSet[set] ??= groupIndex
    if (this.#groupOfSet[set] !== groupIndex) throw new RangeError(`support set "${supportSet}" is in two groups`)
    return set
  }

  #addSite(
    reportId: string | undefined,
    set: number,
    period: number,
    plate: number,
    weight: number,
    fileWeight: number,
    { row, copies, message }: Counted['failures'][number],
  ): void {
    this.#reportId.push(reportId)
    this.#set.push(set)
    this.#period.push(period)
    this.#plate.push(plate)
    this.#row.push(row)
    this.#weight.push(copies * weight)
    this.#fileWeight.push(copies * fileWeight)
    this.#message.push(message)
  }

  /** The network of all reports so far, every set starting from the prior of a sculptor without a record. */
  network(hyper: Hyper): EvidenceNetwork {
    const sets = orderByKey(this.#groupOfSet, this.#groups.count)
    const sites = orderByKey(
      Int32Array.from(this.#set, (set) => sets.place[set]!),
      this.#sets.count,
    )
    const network = {
      groups: this.#groups.names,
      sets: Array.from(sets.order, (set) => this.#sets.names[set]!),
      periods: this.#periods.names,
      groupStart: sets.start,
      ...this.#nodes(sets.order, hyper),
      sites: new Float64Array(siteSize * this.#set.length),
      links: new Int32Array(linkSize * this.#set.length),
      chances: this.#chances.table,
      siteNames: Array.from(sites.order, (site) => this.#nameOf(site)),
    }
    sites.order.forEach((site, place) => {
      const nodes = [
        sets.place[this.#set[site]!]!,
        this.#sets.count + this.#period[site]!,
        this.#sets.count + this.#periods.count + this.#plate[site]!,
      ]
      const weights = [this.#weight[site]!, this.#fileWeight[site]!] as const
      placeSite(network, place, nodes, this.#row[site]!, weights, this.#message[site] ?? null)
      addMessage(network, place)
    })
    return network
  }

  #nameOf(site: number): EvidenceNetwork['siteNames'][number] {
    return { reportId: this.#reportId[site], seen: this.#chances.labels[this.#row[site]! / stageSets]! }
  }

  #nodes(order: Int32Array, hyper: Hyper): { shape: Float64Array; prior: Float64Array } {
    const setPrior = priorOfSet(groupPrior(hyper), hyper)
    const goods = [...Array.from(order, (set) => this.#goodOfSet[set]!), ...this.#goodOfPeriod, ...this.#goodOfPlate]
    const prior = new Float64Array(2 * goods.length)
    order.forEach((_, place) => {
      prior.set(setPrior, 2 * place)
    })
    for (let period = 0; period < this.#periods.count; period++) {
      prior.set([hyper.am, hyper.bm], 2 * (order.length + period))
    }
    prior.set(
      crowdings.flatMap((crowding) => platePriors[crowding]),
      prior.length - 2 * crowdings.length,
    )
    const shape = prior.slice()
    goods.forEach((good, node) => {
      shape[2 * node]! += good
    })
    return { shape, prior }
  }
}
