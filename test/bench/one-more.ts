import { nearest } from '../../server/features/evidence/neighbourhood.ts'
import type { Fit, FittedSet } from '../../server/scoring/fit.ts'
import type { Neighbourhood, StoredSite } from '../../server/scoring/neighbourhood.ts'
import { learn } from '../../server/scoring/one-more.ts'
import type { Report } from '../../server/scoring/reports.ts'
import { timed } from './measure.ts'
import type { StoredMessages } from './stored.ts'
import { numberOf, reportsOf, type Size } from './world.ts'

type Stored = Report & { id: string }

/** So many are learnt before the first that counts, as in a service that has been running for a while. */
const warmUp = 500

/**
 * What each of some more reports takes to learn, in ms: the computation alone, on the piece of the model around it as the
 * database hands it over, with the newest failed plates of its support set and of its printer period.
 */
export function learningMs(size: Size, count: number, fit: Fit, messages: StoredMessages): number[] {
  const reports = lastOf({ ...size, reports: size.reports + warmUp + count }, size.reports)
  const failed = new FailedPlates(size, reports)
  const setsOfGroup = Map.groupBy(fit.supportSets, ([, { group }]) => group)
  const took = reports.map((report) => {
    const sites = failed.near(report).flatMap((plate) => sitesOf(plate, messages))
    const neighbourhood = neighbourhoodOf(report, sites, fit, setsOfGroup.get(report.group) ?? [])
    return timed(() => learn(neighbourhood, report)).ms
  })
  return took.slice(warmUp)
}

function lastOf(size: Size, first: number): Stored[] {
  const last: Stored[] = []
  for (const report of reportsOf(size)) if (numberOf(report.id) >= first) last.push(report)
  return last
}

/** The newest failed plates of those sets and periods that some reports are on. */
class FailedPlates {
  readonly #ofSet: Map<string, Stored[]>
  readonly #ofPeriod: Map<string, Stored[]>

  constructor(size: Size, around: readonly Report[]) {
    this.#ofSet = new Map(around.map(({ supportSet }) => [supportSet, []]))
    this.#ofPeriod = new Map(around.map(({ printerPeriod }) => [printerPeriod, []]))
    for (const report of reportsOf(size)) {
      if (report.failures.length === 0) continue
      this.#ofSet.get(report.supportSet)?.push(report)
      this.#ofPeriod.get(report.printerPeriod)?.push(report)
    }
  }

  near({ supportSet, printerPeriod }: Report): Stored[] {
    const ofSet = this.#ofSet.get(supportSet)?.slice(-nearest) ?? []
    const ofPeriod = this.#ofPeriod.get(printerPeriod)?.slice(-nearest) ?? []
    return [...new Set([...ofSet, ...ofPeriod])]
  }
}

function sitesOf({ id, good, failures, ...report }: Stored, messages: StoredMessages): StoredSite[] {
  const { supportSet, printerPeriod, crowding } = report
  const tried = failures.reduce((sum, { copies }) => sum + copies, good)
  return failures.map(({ seen, copies }) => {
    const message = messages.messageOf(numberOf(id), seen)
    const weights = { fileWeight: 1, memberWeight: 1 }
    return { reportId: id, seen, copies, tried, ...weights, supportSet, printerPeriod, crowding, message }
  })
}

/** The sites, all sets and periods that they touch, and all sets of the report's group. */
function neighbourhoodOf(
  { printerPeriod }: Report,
  sites: readonly StoredSite[],
  { hyper, supportSets, printerPeriods, plates }: Fit,
  own: readonly [name: string, set: FittedSet][],
): Neighbourhood {
  const sets = new Map(own)
  const periods = new Map([[printerPeriod, printerPeriods.get(printerPeriod) ?? { x: 0, y: 0 }]])
  for (const site of sites) {
    const set = supportSets.get(site.supportSet)
    const period = printerPeriods.get(site.printerPeriod)
    if (set) sets.set(site.supportSet, set)
    if (period) periods.set(site.printerPeriod, period)
  }
  return { hyper, supportSets: sets, printerPeriods: periods, plates, sites }
}
