import type { Db } from '../../../../db/connect.ts'
import type { Group } from '../../../http/group.ts'
import { fromMinor, type Money } from '../../../http/money.ts'
import type { Viewer } from '../../../http/session.ts'
import { offersById, type ShownOffer } from '../../catalogue/offers/queries.ts'
import { entriesOf } from '../entries.ts'
import { filesIn, offersIn } from '../plan/show.ts'
import { type StoredPlan, storedPlan } from '../plan/stored.ts'
import { ownRoster } from '../queries.ts'
import { retailOf } from '../rules.ts'
import { tiedReports } from './prints.ts'
import { type PurchaseRow, purchasesAbout, shownPurchase, worthOf } from './purchases.ts'
import { costOfPrints } from './rules.ts'
import type { Spend } from './schema.ts'

/** What the spending of a roster is summed up from. */
export interface SpendFacts {
  entries: readonly { id: string; models: number }[]
  /** price of the boxes, as far as it is known */
  box: Money
  plan: StoredPlan | null
  reports: Tied
  purchases: { here: PurchaseRow[]; elsewhere: PurchaseRow[] }
  /** those that were bought */
  offers: ReadonlyMap<string, ShownOffer>
}

/** What the member printed and bought of a roster. @param plan its last, if it has one that can be read */
export async function spentOn(db: Db, viewer: Viewer, rosterId: string, plan: StoredPlan | null) {
  const reports = await tiedReports(db, viewer, rosterId)
  const fileIds = [...new Set([...(plan ? filesIn(plan) : []), ...reports.map(({ fileId }) => fileId)])]
  const offerIds = plan ? offersIn(plan) : []
  return { reports, purchases: await purchasesAbout(db, viewer, rosterId, { fileIds, offerIds }) }
}

/** What a roster has really cost so far. @throws Problem 403, 404 */
export async function spendOf(db: Db, viewer: Viewer, rosterId: string): Promise<Spend> {
  await ownRoster(db, viewer, rosterId)
  const entries = await entriesOf(db, rosterId)
  const stored = await storedPlan(db, rosterId)
  const plan = typeof stored === 'string' ? null : stored
  const spent = await spentOn(db, viewer, rosterId, plan)
  const bought = [...spent.purchases.here, ...spent.purchases.elsewhere].map(({ offerId }) => offerId)
  const offers = new Map((await offersById(db, viewer, [...new Set(bought)])).map((offer) => [offer.id, offer]))
  return spendFrom({ entries, box: retailOf(entries, viewer.group), plan, ...spent, offers }, viewer.group)
}

/**
 * What a roster has really cost so far, beside its plan and the boxes. An offer counts once, for the roster that it was
 * bought with; resin and plates at the group's present prices.
 */
export function spendFrom({ entries, box, plan, reports, purchases, offers }: SpendFacts, group: Group): Spend {
  const { currency } = group
  const printed = reports.map((report) => ({ ...report, resinMlPerCopy: report.resinMl ?? group.resinMlPerModel }))
  const { resinMinor, platesMinor, cleanUpMinor, mendingMinor } = costOfPrints(printed, group)
  const paidMinor = purchases.here.reduce((sum, row) => sum + (worthOf(row, currency) ?? 0), 0)
  const outcome = plan?.outcome
  const shown = (row: PurchaseRow) => shownPurchase(row, currency, offers)
  return {
    box,
    plan: outcome ? fromMinor(plannedMinor(outcome), currency) : null,
    actual: fromMinor(paidMinor + resinMinor + platesMinor + cleanUpMinor + mendingMinor, currency),
    ...{ offers: fromMinor(paidMinor, currency), resin: fromMinor(resinMinor, currency) },
    plates: fromMinor(platesMinor, currency),
    ...{ cleanUp: fromMinor(cleanUpMinor, currency), mending: fromMinor(mendingMinor, currency) },
    ...{ purchases: purchases.here.map(shown), countedElsewhere: purchases.elsewhere.map(shown) },
    entries: entries.map(({ id, models }) =>
      entrySpend(
        id,
        models,
        reports.filter(({ entryId }) => entryId === id),
      ),
    ),
  }
}

/** What was spent when it was planned, and what was still to be spent then. */
function plannedMinor({ spentMinor, result }: StoredPlan['outcome']): number {
  const { offersMinor, printMinor } = result.plan.totals
  return spentMinor + offersMinor + printMinor
}

type Tied = Awaited<ReturnType<typeof tiedReports>>

function entrySpend(entryId: string, wanted: number, reports: Tied): Spend['entries'][number] {
  const sum = (count: 'tried' | 'good' | 'mended') => reports.reduce((total, report) => total + report[count], 0)
  const [good, mended] = [sum('good'), sum('mended')]
  return {
    ...{ entryId, wanted, good, mended, failed: sum('tried') - good - mended },
    missing: Math.max(0, wanted - good - mended),
    reports: reports.map(shownTied),
  }
}

type TiedReport = Spend['entries'][number]['reports'][number]

/** A report as the spending lists it. */
export const shownTied = ({ id, title, printedOn, tried, good, mended }: TiedReport) => ({
  ...{ id, title, printedOn, tried, good, mended },
})
