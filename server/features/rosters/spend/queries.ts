import type { Db } from '../../../../db/connect.ts'
import { fromMinor } from '../../../http/money.ts'
import type { Viewer } from '../../../http/session.ts'
import { ratesOf } from '../../printing/resins/rules.ts'
import { exchangeInto } from '../../requests/answers/rules.ts'
import { entriesOf } from '../entries.ts'
import { storedPlan } from '../plan/stored.ts'
import { ownRoster } from '../queries.ts'
import { retailMinor } from '../rules.ts'
import { tiedReports } from './prints.ts'
import { allRates, boughtElsewhere, purchasesFor, shownPurchases, worthOf } from './purchases.ts'
import { costOfPrints } from './rules.ts'
import type { Spend } from './schema.ts'

/**
 * What a roster has really cost so far, beside its plan and the boxes. An offer counts once, for the roster that it was
 * bought with; resin at its present price, that of the owner's bottles or else the group's. @throws Problem 403, 404
 */
export async function spendOf(db: Db, viewer: Viewer, rosterId: string): Promise<Spend> {
  await ownRoster(db, viewer, rosterId)
  const { group } = viewer
  const { currency } = group
  const entries = await entriesOf(db, rosterId)
  const exchange = exchangeInto(group)
  const box = entries.reduce((sum, entry) => sum + (retailMinor(entry, exchange) ?? 0), 0)
  const stored = await storedPlan(db, rosterId)
  const plan = stored === null || typeof stored === 'string' ? null : stored.outcome.result.plan
  const reports = await tiedReports(db, viewer, rosterId)
  const printed = reports.map((report) => ({
    ...report,
    resinMlPerCopy: report.resinMl ?? group.resinMlPerModel,
    // Only the owner's own reports count for a roster.
    resin: ratesOf(report.bottle ?? viewer.resin, group),
  }))
  const { resinMinor, cleanUpMinor, mendingMinor } = costOfPrints(printed, group)
  const bought = await purchasesFor(db, rosterId)
  const rates = await allRates(db)
  const paidMinor = bought.reduce((sum, row) => sum + (worthOf(row, currency, rates) ?? 0), 0)
  const used = [...(plan?.entries ?? []), ...reports].map(({ fileId }) => fileId)
  const elsewhere = await boughtElsewhere(db, viewer, rosterId, [...new Set(used)])
  return {
    box: fromMinor(box, currency),
    plan: plan && fromMinor(plan.totals.offersMinor + plan.totals.printMinor, currency),
    actual: fromMinor(paidMinor + resinMinor + cleanUpMinor + mendingMinor, currency),
    ...{ offers: fromMinor(paidMinor, currency), resin: fromMinor(resinMinor, currency) },
    ...{ cleanUp: fromMinor(cleanUpMinor, currency), mending: fromMinor(mendingMinor, currency) },
    purchases: await shownPurchases(db, viewer, bought),
    countedElsewhere: await shownPurchases(db, viewer, elsewhere),
    entries: entries.map(({ id, models }) =>
      entrySpend(
        id,
        models,
        reports.filter(({ entryId }) => entryId === id),
      ),
    ),
  }
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
