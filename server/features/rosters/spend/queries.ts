import type { Db } from '../../../../db/connect.ts'
import { jsonRows } from '../../../../db/json.ts'
import { fromMinor, type Money } from '../../../http/money.ts'
import type { Viewer } from '../../../http/session.ts'
import { offersById, type ShownOffer } from '../../catalogue/offers/queries.ts'
import { ratesOf } from '../../printing/resins/rules.ts'
import { entriesOf } from '../entries.ts'
import { filesIn, offersIn } from '../plan/show.ts'
import { type StoredPlan, storedPlan } from '../plan/stored.ts'
import { ownRoster } from '../queries.ts'
import { retailOf } from '../rules.ts'
import {
  type LineRow,
  linesOf,
  type PurchaseRow,
  purchasesAbout,
  shownLine,
  shownPurchase,
  worthOfLine,
  worthOfPurchase,
} from './paid.ts'
import { reportsTied, tiedReports } from './prints.ts'
import { costOfPrints } from './rules.ts'
import type { Spend, Spent } from './schema.ts'

/** The offers among purchases, bought for this roster or another one. */
export const boughtIn = ({ here, elsewhere }: SpendFacts['purchases']): string[] =>
  [...here, ...elsewhere].map(({ offerId }) => offerId)

/** What the spending of a roster is summed up from. */
export interface SpendFacts {
  entries: readonly { id: string; models: number }[]
  /** price of the boxes, as far as it is known */
  box: Money
  plan: StoredPlan | null
  reports: Tied
  purchases: { here: PurchaseRow[]; elsewhere: PurchaseRow[] }
  lines: LineRow[]
  /** those that were bought */
  offers: ReadonlyMap<string, ShownOffer>
}

/** What the member printed and bought of a roster. @param plan its last, if it has one that can be read */
export async function spentOn(db: Db, viewer: Viewer, rosterId: string, plan: StoredPlan | null) {
  const reports = await tiedReports(db, viewer, rosterId)
  const fileIds = [...new Set([...(plan ? filesIn(plan) : []), ...reports.map(({ fileId }) => fileId)])]
  const offerIds = plan ? offersIn(plan) : []
  return { reports, ...(await paidFor(db, viewer, rosterId, { fileIds, offerIds })) }
}

/** What the member paid for a roster, and with others for what it uses; see `purchasesAbout`. */
export const paidFor = async (db: Db, viewer: Viewer, rosterId: string, about: About) =>
  paidOf(await paid(db, viewer, [rosterId], about), rosterId)

type About = Parameters<typeof purchasesAbout>[3]

const paid = (db: Db, viewer: Viewer, rosterIds: readonly string[], about: About) =>
  db
    .selectNoFrom([
      jsonRows(purchasesAbout(db, viewer, rosterIds, about)).as('bought'),
      jsonRows(linesOf(db, rosterIds)).as('lines'),
    ])
    .executeTakeFirstOrThrow()

function paidOf({ bought, lines }: Awaited<ReturnType<typeof paid>>, rosterId: string) {
  const [here = [], elsewhere = []] = [true, false].map((isHere) =>
    bought.filter((row) => (row.rosterId === rosterId) === isHere),
  )
  return { purchases: { here, elsewhere }, lines: lines.filter((line) => line.rosterId === rosterId) }
}

/**
 * As `spentOn` for several rosters, by roster, with two statements. What was bought elsewhere is what any of them uses.
 *
 * @param plans those that can be read, by roster
 */
export async function spentOnAll(
  db: Db,
  viewer: Viewer,
  rosterIds: readonly string[],
  plans: ReadonlyMap<string, StoredPlan>,
) {
  const reports = await reportsTied(db, viewer, rosterIds)
  const planned = [...plans.values()]
  const fileIds = [...new Set([...planned.flatMap(filesIn), ...reports.map(({ fileId }) => fileId)])]
  const all = await paid(db, viewer, rosterIds, { fileIds, offerIds: [...new Set(planned.flatMap(offersIn))] })
  return new Map(
    rosterIds.map((id) => [id, { reports: reports.filter(({ rosterId }) => rosterId === id), ...paidOf(all, id) }]),
  )
}

/** What a roster has really cost so far. @throws Problem 403, 404 */
export async function spendOf(db: Db, viewer: Viewer, rosterId: string): Promise<Spend> {
  await ownRoster(db, viewer, rosterId)
  const entries = await entriesOf(db, rosterId)
  const stored = await storedPlan(db, rosterId)
  const plan = typeof stored === 'string' ? null : stored
  const spent = await spentOn(db, viewer, rosterId, plan)
  const bought = boughtIn(spent.purchases)
  const offers = new Map((await offersById(db, viewer, [...new Set(bought)])).map((offer) => [offer.id, offer]))
  return spendFrom({ entries, box: retailOf(entries, viewer.group), plan, ...spent, offers }, viewer)
}

/**
 * What a roster has really cost so far, beside its plan and the boxes. An offer counts once, for the roster that it was
 * bought with; plates at the group's present price, resin at that of the owner's bottles or else the group's.
 */
export function spendFrom(
  { entries, box, plan, reports, purchases, lines, offers }: SpendFacts,
  { group, resin: usual }: Pick<Viewer, 'group' | 'resin'>,
): Spend {
  const { currency } = group
  const printed = reports.map((report) => ({
    ...report,
    resinMlPerCopy: report.resinMl ?? group.resinMlPerModel,
    // Only the owner's own reports count for a roster.
    resin: ratesOf(report.bottle ?? usual, group),
  }))
  const { resinMinor, platesMinor, cleanUpMinor, mendingMinor } = costOfPrints(printed, group)
  const offersMinor = purchases.here.reduce((sum, row) => sum + (worthOfPurchase(row, currency) ?? 0), 0)
  const otherMinor = lines.reduce((sum, row) => sum + (worthOfLine(row, currency) ?? 0), 0)
  const printMinor = resinMinor + platesMinor + cleanUpMinor + mendingMinor
  const beside = besidePlan(plan, { offersMinor, printMinor, otherMinor }, currency)
  const shown = (row: PurchaseRow) => shownPurchase(row, currency, offers)
  return {
    box,
    plan: plan ? fromMinor(plannedMinor(plan.outcome), currency) : null,
    actual: fromMinor(offersMinor + printMinor + otherMinor, currency),
    offers: fromMinor(offersMinor, currency),
    resin: fromMinor(resinMinor, currency),
    plates: fromMinor(platesMinor, currency),
    cleanUp: fromMinor(cleanUpMinor, currency),
    mending: fromMinor(mendingMinor, currency),
    other: fromMinor(otherMinor, currency),
    lines: lines.map((row) => shownLine(row, currency)),
    beside,
    purchases: purchases.here.map(shown),
    countedElsewhere: purchases.elsewhere.map(shown),
    entries: entries.map((entry) => entrySpend(entry, reports)),
  }
}

/** What was spent when it was planned, and what was still to be spent then: for buying, printing and the rest. */
function foreseen({ spent, result }: StoredPlan['outcome']): Spent {
  const { offersMinor, printMinor } = result.plan.totals
  return { ...spent, offersMinor: spent.offersMinor + offersMinor, printMinor: spent.printMinor + printMinor }
}

function plannedMinor(outcome: StoredPlan['outcome']): number {
  const { offersMinor, printMinor, otherMinor } = foreseen(outcome)
  return offersMinor + printMinor + otherMinor
}

function besidePlan(plan: StoredPlan | null, actual: Spent, currency: string): Spend['beside'] {
  const planned = plan && foreseen(plan.outcome)
  const pair = (of: keyof Spent) => ({
    planned: planned && fromMinor(planned[of], currency),
    actual: fromMinor(actual[of], currency),
  })
  return { buying: pair('offersMinor'), printing: pair('printMinor'), other: pair('otherMinor') }
}

type Tied = Awaited<ReturnType<typeof tiedReports>>

function entrySpend({ id: entryId, models: wanted }: SpendFacts['entries'][number], all: Tied) {
  const reports = all.filter((report) => report.entryId === entryId)
  const sum = (count: 'tried' | 'good' | 'mended') => reports.reduce((total, report) => total + report[count], 0)
  const [good, mended] = [sum('good'), sum('mended')]
  return {
    entryId,
    wanted,
    good,
    mended,
    failed: sum('tried') - good - mended,
    missing: Math.max(0, wanted - good - mended),
    reports: reports.map(shownTied),
  }
}

type TiedReport = Spend['entries'][number]['reports'][number]

/** A report as the spending lists it. */
const shownTied = ({ id, title, printedOn, tried, good, mended }: TiedReport) => ({
  id,
  title,
  printedOn,
  tried,
  good,
  mended,
})
