// biome-ignore-all lint/style/noNonNullAssertion: arrays filled side by side, indexed within their bounds
import type { Shape } from './beta.ts'
import { type Chances, chancesOf, type LabelTable, seenLabels } from './labels.ts'
import { Names } from './names.ts'
import { addMessage, copySite, emptySites, linkSize, type Network, type Sites } from './network.ts'
import { orderByKey } from './ordering.ts'
import { crowdings, type Hyper, platePriors, startingRho } from './priors.ts'
import { counted, type Report } from './reports.ts'
import { groupPrior, priorOfSet } from './sculptor-tier.ts'
import { type Piece, SiteList } from './site-list.ts'

/** A network that can tell which report each of its sites came from, and what the rows of its chances are called. */
export type EvidenceNetwork = Network & { reportIds: () => (string | undefined)[]; labels: readonly string[] }

/** Sites are collected in blocks of so many groups: being laid out in the order of their sets, none has far to go. */
const groupsInBlock = 64

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
  readonly #blocks: SiteList[] = []

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
    if (failures.length === 0) return
    const sites = this.#blockOf(set)
    for (const { row, copies, message } of failures) {
      sites.add(report.id, [set, period, plate], row, [copies * weight, copies * fileWeight], message)
    }
  }

  #setOf({ supportSet, group }: Report<string>): number {
    const set = this.#sets.indexOf(supportSet)
    const known = this.#groupOfSet[set]
    if (known === undefined) this.#groupOfSet[set] = this.#groups.indexOf(group)
    else if (this.#groups.names[known] !== group) throw new RangeError(`support set "${supportSet}" is in two groups`)
    return set
  }

  #blockOf(set: number): SiteList {
    const block = Math.floor(this.#groupOfSet[set]! / groupsInBlock)
    while (this.#blocks.length <= block) this.#blocks.push(new SiteList())
    return this.#blocks[block]!
  }

  /** The network of all reports so far, every set starting from the prior of a sculptor without a record. */
  network(hyper: Hyper): EvidenceNetwork {
    const sets = orderByKey(this.#groupOfSet, this.#groups.count)
    const pieces = this.#blocks.flatMap((block) => block.pieces)
    const places = this.#placesOfSites(pieces, sets.place)
    const network = {
      groups: this.#groups.names,
      sets: Array.from(sets.order, (set) => this.#sets.names[set]!),
      periods: this.#periods.names,
      groupStart: sets.start,
      ...this.#nodes(sets.place, hyper),
      ...emptySites(places.length),
      chances: this.#chances.table,
      labels: this.#chances.labels,
      reportIds: () => reportIdsOf(pieces, places),
    }
    let site = 0
    for (const piece of pieces) {
      for (let at = 0; at < piece.reportIds.length; at++) {
        this.#layOut(piece, at, network, places[site++]!, sets.place)
      }
    }
    for (let place = 0; place < places.length; place++) addMessage(network, place)
    return network
  }

  /** Where each site goes so that they stand in the order of their sets. */
  #placesOfSites(pieces: readonly Piece[], setPlace: Int32Array): Int32Array {
    const keys = new Int32Array(pieces.reduce((sum, { reportIds }) => sum + reportIds.length, 0))
    let site = 0
    for (const { links, reportIds } of pieces) {
      for (let at = 0; at < reportIds.length; at++) keys[site++] = setPlace[links[linkSize * at]! / 2]!
    }
    return orderByKey(keys, this.#sets.count).place
  }

  /** Copies a site into a network, where periods come after all sets and plates after all periods. */
  #layOut(piece: Sites, at: number, network: Network, place: number, setPlace: Int32Array): void {
    copySite(piece, at, network, place)
    const link = linkSize * place
    network.links[link] = 2 * setPlace[network.links[link]! / 2]!
    network.links[link + 1]! += 2 * this.#sets.count
    network.links[link + 2]! += 2 * (this.#sets.count + this.#periods.count)
  }

  /** Every node's prior, and its prior with its good copies. */
  #nodes(setPlace: Int32Array, hyper: Hyper): Pick<Network, 'shape' | 'prior'> {
    const periods = this.#sets.count
    const plates = periods + this.#periods.count
    const prior = new Float64Array(2 * (plates + crowdings.length))
    const shape = new Float64Array(prior.length)
    const place = (node: number, [a, b]: Shape, good: number) => {
      prior[2 * node] = a
      prior[2 * node + 1] = b
      shape[2 * node] = a + good
      shape[2 * node + 1] = b
    }
    const setPrior = priorOfSet(groupPrior(hyper), hyper)
    this.#goodOfSet.forEach((good, set) => {
      place(setPlace[set]!, setPrior, good)
    })
    this.#goodOfPeriod.forEach((good, period) => {
      place(periods + period, [hyper.am, hyper.bm], good)
    })
    crowdings.forEach((crowding, plate) => {
      place(plates + plate, platePriors[crowding], this.#goodOfPlate[plate]!)
    })
    return { shape, prior }
  }
}

/** The reports that sites came from, each at its site's place. */
function reportIdsOf(pieces: readonly Piece[], places: Int32Array): (string | undefined)[] {
  const ids = new Array<string | undefined>(places.length)
  let site = 0
  for (const { reportIds } of pieces) for (const id of reportIds) ids[places[site++]!] = id
  return ids
}
