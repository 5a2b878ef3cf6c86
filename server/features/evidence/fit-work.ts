import type { Told } from '../../scoring/cases.ts'
import { GroupFit, type GroupFitted } from '../../scoring/group-fit.ts'
import type { Standing } from '../../scoring/habits.ts'
import type { Seen } from '../../scoring/labels.ts'
import { type Crowding, type Hyper, startingHyper, type Total } from '../../scoring/priors.ts'
import { priorOfSet, sculptorRecord } from '../../scoring/sculptor-tier.ts'
import { type StoredSuccess, successRows } from './figures.ts'
import { asReport, type ReportEvidence } from './report-evidence.ts'
import { groupKey, type LineOfSculptor, lineKey, lineOf } from './rules.ts'
import type { StoredShare } from './shares.ts'
import type { StoredMessage } from './storing.ts'

/** What a fit says of the group as a whole. */
export interface FittedGroup {
  hyper: Hyper
  plates: Record<Crowding, Total>
  sweeps: number
  /** it was stopped at its most sweeps, not because nothing moved any more */
  capped: boolean
  /** how every member's reports look beside everybody else's */
  standings: ({ memberId: string } & Standing)[]
  /** what many reports of one member on the same line and printer period count, where that is less than 1 */
  shares: StoredShare[]
}

/** The steps of a full fit that take computing, in their order: wherever they are carried out (fit-place.ts). */
export interface FitSteps {
  /** as often as there are reports */
  add(reports: readonly ReportEvidence[]): Promise<void>
  fit(): Promise<FittedGroup>
  /** what is kept of these lines, whether anybody has printed them or not; lines of one sculptor best come together */
  successesOf(lines: readonly LineOfSculptor[]): Promise<StoredSuccess[]>
  /** the next so many of all printer periods that were printed on; none at the end */
  nextPeriods(most: number): Promise<({ id: string } & Told)[]>
  /** the next so many of all failures with what they are taken for; none at the end */
  nextMessages(most: number): Promise<StoredMessage[]>
  /** nothing more is wanted */
  end(): Promise<void>
}

/** The steps, carried out here and now. */
export class FitWork implements FitSteps {
  readonly #group = new GroupFit()
  #hyper = startingHyper
  #supportSets: GroupFitted['supportSets'] = new Map()
  #printed = new Map<string, Told[]>()
  #periods: Iterator<[string, Told]> = [].values()
  #sites: Iterator<ReturnType<GroupFitted['sites']> extends Iterable<infer Site> ? Site : never> = [].values()

  async add(reports: readonly ReportEvidence[]): Promise<void> {
    for (const report of reports) this.#group.add({ ...asReport(report), memberId: report.memberId })
  }

  async fit(): Promise<FittedGroup> {
    const { hyper, plates, sweeps, capped, supportSets, printerPeriods, sites, standings, shares } = this.#group.fit()
    this.#hyper = hyper
    this.#supportSets = supportSets
    for (const set of supportSets.values()) {
      const ofGroup = this.#printed.get(set.group)
      if (ofGroup) ofGroup.push(set)
      else this.#printed.set(set.group, [set])
    }
    this.#periods = printerPeriods.entries()
    this.#sites = sites()[Symbol.iterator]()
    return {
      ...{ hyper, plates, sweeps, capped },
      standings: Array.from(standings, ([memberId, standing]) => ({ memberId, ...standing })),
      shares: shares.map(({ memberId, supportSet, printerPeriod, weight }) => {
        return { memberId, ...lineOf(supportSet), periodId: printerPeriod, weight }
      }),
    }
  }

  async successesOf(lines: readonly LineOfSculptor[]): Promise<StoredSuccess[]> {
    return [...Map.groupBy(lines, groupKey)].flatMap(([group, ofGroup]) => {
      const printed = this.#printed.get(group) ?? []
      const [priorA, priorB] = priorOfSet(sculptorRecord(printed, this.#hyper), this.#hyper)
      const unprinted = { x: 0, y: 0, priorA, priorB }
      const nodes = ofGroup.map((line) => ({ ...line, ...(this.#supportSets.get(lineKey(line)) ?? unprinted) }))
      return successRows(nodes, printed, this.#hyper)
    })
  }

  async nextPeriods(most: number): Promise<({ id: string } & Told)[]> {
    return take(this.#periods, most).map(([id, { x, y, cases }]) => ({ id, x, y, cases }))
  }

  async nextMessages(most: number): Promise<StoredMessage[]> {
    return take(this.#sites, most).map(({ reportId, seen, message }) => ({
      ...{ reportId: String(reportId), seen: seen as Seen, message },
    }))
  }

  async end(): Promise<void> {}
}

function take<Item>(items: Iterator<Item>, most: number): Item[] {
  const taken: Item[] = []
  while (taken.length < most) {
    const { done, value } = items.next()
    if (done) break
    taken.push(value)
  }
  return taken
}
