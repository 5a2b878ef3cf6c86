// biome-ignore-all lint/style/noNonNullAssertion: arrays filled side by side, indexed within their bounds
import { chancesBySet, type LabelTable, type Seen, seenLabels, stageSets } from './labels.ts'
import { linkSize, type Message, type Network, siteFileWeight, siteSize, siteWeight } from './network.ts'
import { type Crowding, copyWeight, crowdings, type Hyper, platePriors, startingRho } from './priors.ts'
import { priorOfSet } from './sculptor-tier.ts'

/** Failed copies of one report by what was seen; `message` is what an earlier fit had made of them, for a warm start. */
export type Failure<Label extends string = Seen> = { seen: Label; copies: number; message?: Message | null }

export type Report<Label extends string = Seen> = {
  /** needed only to find the report's messages again */
  id?: string
  /** the file with its kind of support */
  supportSet: string
  /** the sculptor with the kind of support: sets of one group hint at each other */
  group: string
  /** one printer between two dates of upkeep */
  printerPeriod: string
  crowding: Crowding
  /** copies that came out good */
  good: number
  failures: readonly Failure<Label>[]
  /** copies on the plate; what neither came out good nor failed as seen counts as "don't know" */
  tried?: number
  /** worth for the file side alone, for reports on older revisions: 1 when left out */
  fileWeight?: number
}

/** A network that knows which report each of its sites came from. */
export type EvidenceNetwork = Network & { siteNames: { reportId: string | undefined; seen: string }[] }

/** Row of the label table that says nothing: for copies that nobody accounts for. */
const unaccounted = '(unaccounted for)'

/**
 * Collects reports one by one (from an array or straight from a database cursor) and lays them out for the sweep.
 */
export class Evidence {
  readonly #rho: number
  readonly #labels: string[]
  readonly #labelIndex: Map<string, number>
  readonly #chances: number[][]
  readonly #groups = new Names()
  readonly #sets = new Names()
  readonly #periods = new Names()
  readonly #groupOfSet: number[] = []
  readonly #goodOfSet: number[] = []
  readonly #goodOfPeriod: number[] = []
  readonly #goodOfPlate = [0, 0, 0]
  readonly #set: number[] = []
  readonly #period: number[] = []
  readonly #plate: number[] = []
  readonly #label: number[] = []
  readonly #weight: number[] = []
  readonly #fileWeight: number[] = []
  readonly #message: (Message | null)[] = []
  readonly #reportId: (string | undefined)[] = []
  #reports = 0

  /** @throws RangeError when a label's row is not three finite numbers >= 0 with one above 0 */
  constructor({ rho = startingRho, labels = seenLabels }: { rho?: number; labels?: LabelTable } = {}) {
    this.#rho = rho
    const rows = Object.entries({ ...labels, [unaccounted]: [1, 1, 1] as const })
    for (const [label, row] of rows) {
      if (row.length !== 3 || !row.every((chance) => Number.isFinite(chance) && chance >= 0) || !row.some(Boolean)) {
        throw new RangeError(`label "${label}" needs three numbers >= 0, not all 0`)
      }
    }
    this.#labels = rows.map(([label]) => label)
    this.#labelIndex = new Map(this.#labels.map((label, index) => [label, index]))
    this.#chances = rows.map(([, row]) => chancesBySet(row))
  }

  get reports(): number {
    return this.#reports
  }

  /** @throws RangeError when a count or weight is no finite number >= 0, a label unknown, or a set in two groups */
  add<Label extends string>(report: Report<Label>): void {
    const { good, fileWeight = 1 } = report
    const failures = accountedFor(report)
    const tried = failures.reduce((sum, { copies }) => sum + copies, good)
    if (![good, fileWeight, ...failures.map(({ copies }) => copies)].every((n) => Number.isFinite(n) && n >= 0)) {
      throw new RangeError('counts and weights of a report must be numbers >= 0')
    }
    const set = this.#setOf(report)
    const period = this.#periods.indexOf(report.printerPeriod)
    const plate = crowdings.indexOf(report.crowding)
    if (plate < 0) throw new RangeError(`unknown crowding "${report.crowding}"`)
    const weight = copyWeight(Math.max(1, tried), this.#rho)
    this.#goodOfSet[set] = (this.#goodOfSet[set] ?? 0) + good * weight * fileWeight
    this.#goodOfPeriod[period] = (this.#goodOfPeriod[period] ?? 0) + good * weight
    this.#goodOfPlate[plate]! += good * weight
    this.#reports++
    for (const { seen, copies, message } of failures) {
      if (copies === 0) continue
      const label = this.#labelIndex.get(seen)
      if (label === undefined) throw new RangeError(`unknown label "${seen}"`)
      this.#set.push(set)
      this.#period.push(period)
      this.#plate.push(plate)
      this.#label.push(label)
      this.#weight.push(copies * weight)
      this.#fileWeight.push(copies * weight * fileWeight)
      this.#message.push(message ?? null)
      this.#reportId.push(report.id)
    }
  }

  #setOf({ supportSet, group }: { supportSet: string; group: string }): number {
    const groupIndex = this.#groups.indexOf(group)
    const set = this.#sets.indexOf(supportSet)
    this.#groupOfSet[set] ??= groupIndex
    if (this.#groupOfSet[set] !== groupIndex) throw new RangeError(`support set "${supportSet}" is in two groups`)
    return set
  }

  /** The network of all reports so far, every set starting from the prior of a sculptor without a record. */
  network(hyper: Hyper): EvidenceNetwork {
    const sets = countingOrder(this.#groupOfSet, this.#groups.count)
    const sites = countingOrder(
      this.#set.map((set) => sets.place[set]!),
      this.#sets.count,
    )
    const names = this.#sets.names
    const network = {
      groups: this.#groups.names,
      sets: Array.from(sets.order, (set) => names[set]!),
      periods: this.#periods.names,
      groupStart: sets.start,
      ...this.#nodes(sets.order, hyper),
      sites: new Float64Array(siteSize * this.#set.length),
      links: new Int32Array(linkSize * this.#set.length),
      chances: Float64Array.from(this.#chances.flat()),
      siteNames: Array.from(sites.order, (site) => ({
        reportId: this.#reportId[site],
        seen: this.#labels[this.#label[site]!]!,
      })),
    }
    sites.order.forEach((site, place) => {
      this.#placeSite(network, site, place, sets.place)
    })
    return network
  }

  #nodes(order: Int32Array, hyper: Hyper): { shape: Float64Array; prior: Float64Array } {
    const setPrior = priorOfSet([hyper.mu0 * hyper.k0, (1 - hyper.mu0) * hyper.k0], hyper)
    const priors = [
      ...Array.from(order, () => setPrior),
      ...this.#periods.names.map(() => [hyper.am, hyper.bm]),
      ...crowdings.map((crowding) => platePriors[crowding]),
    ]
    const prior = Float64Array.from(priors.flat())
    const shape = prior.slice()
    const goods = [...Array.from(order, (set) => this.#goodOfSet[set]!), ...this.#goodOfPeriod, ...this.#goodOfPlate]
    goods.forEach((good, node) => {
      shape[2 * node]! += good
    })
    return { shape, prior }
  }

  #placeSite(network: Network, site: number, place: number, placeOfSet: Int32Array): void {
    const { links, sites, shape } = network
    const periods = this.#sets.count
    const plates = periods + this.#periods.count
    const nodes = [placeOfSet[this.#set[site]!]!, periods + this.#period[site]!, plates + this.#plate[site]!]
    links.set([...nodes.map((node) => 2 * node), stageSets * this.#label[site]!], linkSize * place)
    sites[siteSize * place + siteWeight] = this.#weight[site]!
    sites[siteSize * place + siteFileWeight] = this.#fileWeight[site]!
    const message = this.#message[site]
    if (!message) return
    message.forEach((worth, part) => {
      sites[siteSize * place + part] = worth
      const weight = part < 2 ? this.#fileWeight[site]! : this.#weight[site]!
      shape[2 * nodes[part >> 1]! + (part & 1)]! += weight * worth
    })
  }
}

/** A report's failures, each label once, and what is missing from `tried` as copies nobody accounts for. */
function accountedFor({ good, tried, failures }: Report<string>): Failure<string>[] {
  const byLabel = new Map<string, Failure<string>>()
  for (const failure of failures) {
    const copies = (byLabel.get(failure.seen)?.copies ?? 0) + failure.copies
    byLabel.set(failure.seen, { ...failure, copies })
  }
  const missing = (tried ?? 0) - good - failures.reduce((sum, { copies }) => sum + copies, 0)
  if (missing > 0) byLabel.set(unaccounted, { seen: unaccounted, copies: missing })
  return [...byLabel.values()]
}

/** Names in the order in which they first came. */
class Names {
  readonly names: string[] = []
  readonly #index = new Map<string, number>()

  get count(): number {
    return this.names.length
  }

  indexOf(name: string): number {
    const known = this.#index.get(name)
    if (known !== undefined) return known
    this.#index.set(name, this.names.length)
    return this.names.push(name) - 1
  }
}

/** Orders items by key, equal keys in their old order (counting sort): old index by place, place by old index. */
function countingOrder(keys: readonly number[], keyCount: number) {
  const start = new Int32Array(keyCount + 1)
  for (const key of keys) start[key + 1]!++
  for (let key = 0; key < keyCount; key++) start[key + 1]! += start[key]!
  const next = start.slice()
  const order = new Int32Array(keys.length)
  const place = new Int32Array(keys.length)
  keys.forEach((key, index) => {
    const at = next[key]!++
    order[at] = index
    place[index] = at
  })
  return { start, order, place }
}
