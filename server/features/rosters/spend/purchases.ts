import { v7 } from 'uuid'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { uniqueViolation } from '../../../../db/failures.ts'
import { latestToday } from '../../../http/day.ts'
import { todayIn } from '../../../http/group.ts'
import { convertMinor, fromMinor, toMinor } from '../../../http/money.ts'
import { conflict, invalid, notFound } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { keepInArchive, startMembership } from '../../catalogue/archive/queries.ts'
import { offersById } from '../../catalogue/offers/queries.ts'
import { expectRates } from '../entries.ts'
import { offerTitle } from '../plan/show.ts'
import { ownRoster } from '../queries.ts'
import { type DatedRate, rateOn } from './rules.ts'
import type { NewPurchase, Purchase } from './schema.ts'

const purchases = (db: Db) =>
  db
    .selectFrom('rosterPurchase')
    .leftJoin('roster', 'roster.id', 'rosterPurchase.rosterId')
    .select(['rosterPurchase.id', 'offerId', 'paidMinor', 'paidCurrency', 'boughtOn', 'rosterId', 'roster.name'])
    .orderBy('boughtOn')
    .orderBy('rosterPurchase.id')

export type PurchaseRow = Awaited<ReturnType<ReturnType<typeof purchases>['executeTakeFirstOrThrow']>>

/** What was bought for a roster. */
export const purchasesFor = (db: Db, rosterId: string): Promise<PurchaseRow[]> =>
  purchases(db).where('rosterId', '=', rosterId).execute()

/** What the member bought with another roster and that opens any of these files. */
export async function boughtElsewhere(db: Db, viewer: Viewer, rosterId: string, fileIds: string[]) {
  if (fileIds.length === 0) return []
  return purchases(db)
    .where('memberId', '=', viewer.id)
    .where((eb) => eb.or([eb('rosterId', '<>', rosterId), eb('rosterId', 'is', null)]))
    .where('offerId', 'in', (eb) =>
      eb.selectFrom('offerFile').select('offerFile.offerId').where('fileId', 'in', fileIds),
    )
    .execute()
}

/** In the group's currency at the rate of its day; undefined without any rate. */
export function worthOf({ paidMinor, paidCurrency, boughtOn }: PurchaseRow, currency: string, rates: DatedRate[]) {
  if (paidCurrency === currency) return paidMinor
  const rate = rateOn(rates, paidCurrency, boughtOn)
  return rate === undefined ? undefined : convertMinor(paidMinor, paidCurrency, currency, rate)
}

export async function shownPurchases(db: Db, viewer: Viewer, rows: PurchaseRow[]): Promise<Purchase[]> {
  const { currency } = viewer.group
  const rates = await allRates(db)
  const ids = [...new Set(rows.map(({ offerId }) => offerId))]
  const titles = new Map((await offersById(db, viewer, ids)).map((offer) => [offer.id, offerTitle(offer)]))
  return rows.map((row) => {
    const worth = worthOf(row, currency, rates)
    return {
      ...{ id: row.id, offerId: row.offerId, title: titles.get(row.offerId) ?? '', boughtOn: row.boughtOn },
      paid: fromMinor(row.paidMinor, row.paidCurrency),
      worth: worth === undefined ? null : fromMinor(worth, currency),
      roster: row.rosterId !== null && row.name !== null ? { id: row.rosterId, name: row.name } : null,
    }
  })
}

export const allRates = (db: Db): Promise<DatedRate[]> =>
  db.selectFrom('rate').select(['currency', 'seenOn', 'worth']).execute()

/**
 * Notes what was paid for an offer. Its files are in the member's archive from then on; a membership runs.
 *
 * @throws Problem 403, 404, 409 when the member noted it already, also with another roster; 422
 */
export async function addPurchase(
  db: Db,
  viewer: Viewer,
  rosterId: string,
  body: NewPurchase,
  now: Date,
): Promise<Purchase> {
  return inTransaction(db, async (trx) => {
    await ownRoster(trx, viewer, rosterId)
    const boughtOn = body.boughtOn ?? todayIn(viewer.group.timeZone, now)
    if (boughtOn > latestToday(now)) throw invalid('/boughtOn', 'This day is still to come.')
    const offer = await trx
      .selectFrom('offer')
      .select(['id', 'kind', 'priceMinor', 'priceCurrency', 'minMonths'])
      .where('id', '=', body.offerId)
      .executeTakeFirst()
    if (!offer) throw invalid('/offerId', 'There is no such offer.')
    const paid = body.paid ?? fromMinor(offer.priceMinor * (offer.minMonths ?? 1), offer.priceCurrency)
    expectRates(viewer.group, [paid], '/paid/currency')
    const isMembership = offer.kind === 'membership'
    if (!isMembership) await expectNew(trx, viewer, offer.id)
    const id = v7()
    await trx
      .insertInto('rosterPurchase')
      .values({
        ...{ id, memberId: viewer.id, rosterId, offerId: offer.id, isMembership, boughtOn },
        ...{ paidMinor: toMinor(paid), paidCurrency: paid.currency },
      })
      .execute()
      .catch(refuseTwice)
    if (isMembership) await startMembership(trx, viewer, offer.id)
    else await archiveFiles(trx, viewer, offer.id)
    const rows = await purchases(trx).where('rosterPurchase.id', '=', id).execute()
    const [made] = await shownPurchases(trx, viewer, rows)
    if (!made) throw notFound('purchase')
    return made
  })
}

async function expectNew(trx: Db, viewer: Viewer, offerId: string): Promise<void> {
  const before = await purchases(trx)
    .where('memberId', '=', viewer.id)
    .where('offerId', '=', offerId)
    .executeTakeFirst()
  if (!before) return
  const where = before.name === null ? '' : ` with ${before.name}`
  throw conflict(`You noted this as bought on ${before.boughtOn}${where}: its price counts there, once.`)
}

/** Two at the same moment. */
function refuseTwice(error: unknown): never {
  if (uniqueViolation(error) === 'roster_purchase_once') throw conflict('You noted this as bought already.')
  throw error
}

async function archiveFiles(trx: Db, viewer: Viewer, offerId: string): Promise<void> {
  const files = await trx.selectFrom('offerFile').select('fileId').where('offerId', '=', offerId).execute()
  for (const { fileId } of files) await keepInArchive(trx, viewer, fileId)
}

/** Strikes a purchase out; what it put into the archive stays there, since it may have been there before. @throws Problem 403, 404 */
export async function removePurchase(db: Db, viewer: Viewer, rosterId: string, id: string): Promise<void> {
  await ownRoster(db, viewer, rosterId)
  const done = await db
    .deleteFrom('rosterPurchase')
    .where('id', '=', id)
    .where('rosterId', '=', rosterId)
    .executeTakeFirst()
  if (done.numDeletedRows === 0n) throw notFound('purchase')
}
