// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import type { Chances, Seen } from './labels.ts'
import { linkSize, type Message, messageOf, type Network, periodNode, placeSite, siteSize, totalOf } from './network.ts'
import { type Crowding, copyWeight, crowdings, type Hyper, platePriors, type Total } from './priors.ts'

/** A support set as it is stored: its evidence, and the prior that its sculptor gives it. */
export type SetNode = Total & { group: string; priorA: number; priorB: number }

/** One (report, seen) as it is stored; `message` is null until a fit or an update has visited it. */
export type StoredSite<Label extends string = Seen> = {
  reportId: string
  seen: Label
  copies: number
  tried: number
  fileWeight: number
  memberWeight: number
  supportSet: string
  printerPeriod: string
  crowding: Crowding
  message: Message | null
}

/**
 * The piece of the model that one report touches, as loaded from the database: the sites of the report's set and of its
 * printer period, every set and period that these sites touch, and all sets of the report's own group.
 */
export type Neighbourhood<Label extends string = Seen> = {
  hyper: Hyper
  supportSets: ReadonlyMap<string, SetNode>
  printerPeriods: ReadonlyMap<string, Total>
  plates: Readonly<Record<Crowding, Total>>
  sites: readonly StoredSite<Label>[]
}

/** What has to be written back; everything else is as it was. Plates wait for the next full fit: no row is hot. */
export type Changes<Label extends string = Seen> = {
  supportSets: Map<string, SetNode>
  printerPeriods: Map<string, Total>
  sites: StoredSite<Label>[]
}

/** Copies' worth of a site to printer and plate, and to the file. */
export function weightsOf(site: StoredSite<string>, rho: number): readonly [weight: number, fileWeight: number] {
  const weight = site.copies * site.memberWeight * copyWeight(site.tried, rho)
  return [weight, weight * site.fileWeight]
}

/**
 * A neighbourhood as a network, the sets of one group first.
 *
 * @throws RangeError when a site's set or period is missing, or its label unknown
 */
export function networkOf(
  { hyper, supportSets, printerPeriods, plates, sites }: Neighbourhood<string>,
  group: string,
  { table, rowOf }: Chances,
  rho: number,
): Network {
  const isOwn = (name: string) => supportSets.get(name)!.group === group
  const own = [...supportSets.keys()].filter(isOwn)
  const sets = [...own, ...[...supportSets.keys()].filter((name) => !isOwn(name))]
  const periods = [...printerPeriods.keys()]
  const nodes = [
    ...sets.map((name) => supportSets.get(name)!),
    ...periods.map((name) => ({ ...printerPeriods.get(name)!, priorA: hyper.am, priorB: hyper.bm })),
    ...crowdings.map((name) => ({ ...plates[name], priorA: platePriors[name][0], priorB: platePriors[name][1] })),
  ]
  const network = {
    groups: [group],
    sets,
    periods,
    groupStart: Int32Array.of(0, own.length),
    shape: Float64Array.from(nodes.flatMap(({ x, y, priorA, priorB }) => [priorA + x, priorB + y])),
    prior: Float64Array.from(nodes.flatMap(({ priorA, priorB }) => [priorA, priorB])),
    sites: new Float64Array(siteSize * sites.length),
    links: new Int32Array(linkSize * sites.length),
    chances: table,
  }
  const setNodes = new Map(sets.map((name, index) => [name, index]))
  const periodNodes = new Map(periods.map((name, index) => [name, sets.length + index]))
  sites.forEach((site, place) => {
    const set = setNodes.get(site.supportSet)
    const period = periodNodes.get(site.printerPeriod)
    const row = rowOf.get(site.seen)
    if (set === undefined || period === undefined || row === undefined) {
      throw new RangeError(`set, period or label of a site of report ${site.reportId} is not in the neighbourhood`)
    }
    const plate = sets.length + periods.length + crowdings.indexOf(site.crowding)
    placeSite(network, place, [set, period, plate], row, weightsOf(site, rho), site.message)
  })
  return network
}

/** What a network has that the neighbourhood it came from has not. */
export function changesOf<Label extends string>(
  { supportSets, printerPeriods }: Neighbourhood<Label>,
  network: Network,
  sites: readonly StoredSite<Label>[],
  groupOfNewSet: string,
): Changes<Label> {
  const changes: Changes<Label> = { supportSets: new Map(), printerPeriods: new Map(), sites: [] }
  network.sets.forEach((name, node) => {
    const before = supportSets.get(name)
    const [priorA, priorB] = [network.prior[2 * node]!, network.prior[2 * node + 1]!]
    const after = { ...totalOf(network, node), group: before?.group ?? groupOfNewSet, priorA, priorB }
    if (!before || differs(numbersOf(before), numbersOf(after))) changes.supportSets.set(name, after)
  })
  network.periods.forEach((name, index) => {
    const before = printerPeriods.get(name)
    const after = totalOf(network, periodNode(network, index))
    if (!before || differs([before.x, before.y], [after.x, after.y])) changes.printerPeriods.set(name, after)
  })
  sites.forEach((site, place) => {
    const message = messageOf(network, place)
    if (!site.message || differs(site.message, message)) changes.sites.push({ ...site, message })
  })
  return changes
}

/** Less than this is rounding. */
const rounding = 1e-12

function differs(before: readonly number[], after: readonly number[]): boolean {
  return before.some((value, index) => Math.abs(value - (after[index] ?? Number.NaN)) > rounding)
}

function numbersOf({ x, y, priorA, priorB }: SetNode): number[] {
  return [x, y, priorA, priorB]
}
