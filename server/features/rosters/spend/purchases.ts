import { sql } from 'kysely'
import { v7 } from 'uuid'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { ifTaken } from '../../../../db/failures.ts'
import { latestToday } from '../../../http/day.ts'
import { todayIn } from '../../../http/group.ts'
import { fromMinor, toMinor } from '../../../http/money.ts'
import { conflict, invalid, notFound } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { keepOpened, startMembership } from '../../catalogue/archive/queries.ts'
import { readOffer } from '../../catalogue/offers/queries.ts'
import { expectRates } from '../entries.ts'
import { offerTitle } from '../plan/show.ts'
import { ownRoster } from '../queries.ts'
import { rateOn, worthOf } from './rates.ts'
import type { NewPurchase, Purchase } from './schema.ts'

const purchases = (db: Db) =>
  db
    .selectFrom('rosterPurchase')
    .leftJoin('roster', 'roster.id', 'rosterPurchase.rosterId')
    .select(['rosterPurchase.id', 'offerId', 'paidMinor', 'paidCurrency', 'boughtOn', 'rosterId', 'roster.name'])
    .select(rateOn('rosterPurchase.paidCurrency', 'rosterPurchase.boughtOn').as('rate'))
    .orderBy('boughtOn')
    .orderBy('rosterPurchase.id')

export type PurchaseRow = Awaited<ReturnType<ReturnType<typeof purchases>['executeTakeFirstOrThrow']>>

/** What the member bought for rosters, and with others what is one of these offers or opens any of these files. */
export function purchasesAbout(
  db: Db,
  viewer: Viewer,
  rosterIds: readonly string[],
  { fileIds, offerIds }: { fileIds: readonly string[]; offerIds: readonly string[] },
) {
  const used = sql<string>`any(${offerIds}::uuid[] || array(
    select offer_id from offer_file where file_id = any(${fileIds}::uuid[])
  ))`
  return purchases(db)
    .where('memberId', '=', viewer.id)
    .where((eb) => eb.or([eb('rosterId', 'in', rosterIds), eb('offerId', '=', used)]))
}

/** In the group's currency at the rate of its day; undefined without any rate. */
export const worthOfPurchase = ({ paidMinor: minor, paidCurrency, rate }: PurchaseRow, currency: string) =>
  worthOf({ minor, currency: paidCurrency, rate }, currency)

/** @param offers those that were bought, as the viewer may see them */
export function shownPurchase(row: PurchaseRow, currency: string, offers: ReadonlyMap<string, Titled>): Purchase {
  const worth = worthOfPurchase(row, currency)
  const offer = offers.get(row.offerId)
  return {
    id: row.id,
    offerId: row.offerId,
    title: offer ? offerTitle(offer) : '',
    boughtOn: row.boughtOn,
    paid: fromMinor(row.paidMinor, row.paidCurrency),
    worth: worth === undefined ? null : fromMinor(worth, currency),
    roster: row.rosterId !== null && row.name !== null ? { id: row.rosterId, name: row.name } : null,
  }
}

type Titled = Parameters<typeof offerTitle>[0]

/**
 * Notes what was paid for an offer. Its files are in the member's archive from then on; a membership runs.
 *
 * @throws Problem 403, 404, 409 when the member noted it already, also with another roster; 422
 */
export async function addPurchase(db: Db, viewer: Viewer, rosterId: string, body: NewPurchase, now: Date) {
  return inTransaction(db, async (trx) => {
    await ownRoster(trx, viewer, rosterId)
    const boughtOn = body.boughtOn ?? todayIn(viewer.group.timeZone, now)
    if (boughtOn > latestToday(now)) throw invalid('/boughtOn', 'This day is still to come.')
    const offer = await trx
      .selectFrom('offer')
      .select(['id', 'kind', 'priceMinor', 'priceCurrency', 'minMonths'])
      .where('id', '=', body.offerId)
      .executeTakeFirstOrThrow(() => invalid('/offerId', 'There is no such offer.'))
    const paid = body.paid ?? fromMinor(offer.priceMinor * (offer.minMonths ?? 1), offer.priceCurrency)
    expectRates(viewer.group, [paid], '/paid/currency')
    const isMembership = offer.kind === 'membership'
    if (!isMembership) await expectNew(trx, viewer, offer.id)
    const id = v7()
    await trx
      .insertInto('rosterPurchase')
      .values({
        id,
        memberId: viewer.id,
        rosterId,
        offerId: offer.id,
        isMembership,
        boughtOn,
        paidMinor: toMinor(paid),
        paidCurrency: paid.currency,
      })
      .execute()
      .catch(refuseTwice)
    if (isMembership) await startMembership(trx, viewer, offer.id)
    else await keepOpened(trx, viewer, offer.id)
    const row = await purchases(trx).where('rosterPurchase.id', '=', id).executeTakeFirstOrThrow()
    return shownPurchase(row, viewer.group.currency, new Map([[offer.id, await readOffer(trx, viewer, offer.id)]]))
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
const refuseTwice = ifTaken(() => conflict('You noted this as bought already.'), 'roster_purchase_once')

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
