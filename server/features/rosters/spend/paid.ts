import { sql } from 'kysely'
import { v7 } from 'uuid'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { ifTaken } from '../../../../db/failures.ts'
import { latestToday } from '../../../http/day.ts'
import { todayIn } from '../../../http/group.ts'
import { convertMinor, fromMinor, toMinor } from '../../../http/money.ts'
import { conflict, invalid, notFound } from '../../../http/problem.ts'
import { addRow, rowOf } from '../../../http/rows.ts'
import type { Viewer } from '../../../http/session.ts'
import { keepOpened, startMembership } from '../../catalogue/archive/queries.ts'
import { readOffer } from '../../catalogue/offers/queries.ts'
import { expectRates } from '../entries.ts'
import { offerTitle } from '../plan/show.ts'
import { ownRoster } from '../queries.ts'
import type { NewPurchase, NewSpendLine, Purchase, SpendLine } from './schema.ts'

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
    if (boughtOn > latestToday(now)) throw invalid('/boughtOn', 'This day is in the future.')
    const columns = ['id', 'kind', 'priceMinor', 'priceCurrency', 'minMonths'] as const
    const offer = await rowOf(trx, 'offer', body.offerId, columns, noSuchOffer)
    const paid = body.paid ?? fromMinor(offer.priceMinor * (offer.minMonths ?? 1), offer.priceCurrency)
    expectRates(viewer.group, [paid], '/paid/currency')
    const isMembership = offer.kind === 'membership'
    if (!isMembership) await expectNew(trx, viewer, offer.id)
    const id = v7()
    const paidColumns = { paidMinor: toMinor(paid), paidCurrency: paid.currency }
    const row = { id, memberId: viewer.id, rosterId, offerId: offer.id, isMembership, boughtOn, ...paidColumns }
    await addRow(trx, 'rosterPurchase', row).catch(refuseTwice)
    if (isMembership) await startMembership(trx, viewer, offer.id)
    else await keepOpened(trx, viewer, offer.id)
    const kept = await purchases(trx).where('rosterPurchase.id', '=', id).executeTakeFirstOrThrow()
    return shownPurchase(kept, viewer.group.currency, new Map([[offer.id, await readOffer(trx, viewer, offer.id)]]))
  })
}

const noSuchOffer = () => invalid('/offerId', 'There is no such offer.')

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
const refuseTwice = ifTaken(() => conflict('You have already noted this as bought.'), 'roster_purchase_once')

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

/** What a currency was worth on a day: the newest rate by then, else the first that was ever seen. Both name a column. */
const rateOn = (currency: string, day: string) => sql<number | null>`(
  select worth from rate where rate.currency = ${sql.ref(currency)}
  order by rate.seen_on <= ${sql.ref(day)} desc, abs(rate.seen_on - ${sql.ref(day)}) limit 1
)`

/** A sum in another currency at its rate, in minor units; undefined without any rate. */
function worthOf(sum: { minor: number; currency: string; rate: number | null }, currency: string) {
  if (sum.currency === currency) return sum.minor
  return sum.rate === null ? undefined : convertMinor(sum.minor, sum.currency, currency, sum.rate)
}

/** What else was spent for rosters, the first day first. */
export const linesOf = (db: Db, rosterIds: readonly string[]) =>
  db
    .selectFrom('rosterSpendLine')
    .select(['id', 'rosterId', 'words', 'spentOn', 'amountMinor', 'amountCurrency', 'cameIn'])
    .select(rateOn('rosterSpendLine.amountCurrency', 'rosterSpendLine.spentOn').as('rate'))
    .where('rosterId', 'in', rosterIds)
    .orderBy('spentOn')
    .orderBy('id')

export type LineRow = Awaited<ReturnType<ReturnType<typeof linesOf>['executeTakeFirstOrThrow']>>

/** In the group's currency, what came in below nothing; undefined without any rate. */
export function worthOfLine({ amountMinor, amountCurrency, rate, cameIn }: LineRow, currency: string) {
  const worth = worthOf({ minor: amountMinor, currency: amountCurrency, rate }, currency)
  return worth === undefined || !cameIn ? worth : -worth
}

export function shownLine(row: LineRow, currency: string): SpendLine {
  const worth = worthOfLine(row, currency)
  return {
    id: row.id,
    words: row.words,
    on: row.spentOn,
    cameIn: row.cameIn,
    amount: fromMinor(row.amountMinor, row.amountCurrency),
    worth: worth === undefined ? null : fromMinor(worth, currency),
  }
}

/** Notes what else was spent for a roster, or came in for it. @throws Problem 403, 404, 422 */
export async function addSpendLine(
  db: Db,
  viewer: Viewer,
  rosterId: string,
  { words, amount, cameIn, ...body }: NewSpendLine,
  now: Date,
): Promise<SpendLine> {
  await ownRoster(db, viewer, rosterId)
  const spentOn = body.on ?? todayIn(viewer.group.timeZone, now)
  if (spentOn > latestToday(now)) throw invalid('/on', 'This day is in the future.')
  expectRates(viewer.group, [amount], '/amount/currency')
  const id = v7()
  const columns = { amountMinor: toMinor(amount), amountCurrency: amount.currency }
  await addRow(db, 'rosterSpendLine', { id, rosterId, words, spentOn, cameIn, ...columns })
  const row = await linesOf(db, [rosterId]).where('id', '=', id).executeTakeFirstOrThrow()
  return shownLine(row, viewer.group.currency)
}

/** @throws Problem 403, 404 */
export async function removeSpendLine(db: Db, viewer: Viewer, rosterId: string, id: string): Promise<void> {
  await ownRoster(db, viewer, rosterId)
  const done = await db
    .deleteFrom('rosterSpendLine')
    .where('id', '=', id)
    .where('rosterId', '=', rosterId)
    .executeTakeFirst()
  if (done.numDeletedRows === 0n) throw notFound('line')
}
