import { sql } from 'kysely'
import { v7 } from 'uuid'
import { type Db, inTransaction } from '../../../db/connect.ts'
import { mayChange } from '../../http/access.ts'
import { latestToday } from '../../http/day.ts'
import { groupOf, todayIn } from '../../http/group.ts'
import { fromMinor, type Money, toMinor } from '../../http/money.ts'
import { forbidden, invalid, notFound, Problem } from '../../http/problem.ts'
import type { Viewer } from '../../http/session.ts'
import { expectVersion } from '../../http/version.ts'
import { expectFiles, fileHead } from '../files/heads.ts'
import { discreet, sculptorColumns } from '../files/rules.ts'
import { shownLink, wrongTerms } from './rules.ts'
import type { ChangedOffer, NewOffer, Offer } from './schema.ts'

const offers = (db: Db) =>
  db
    .selectFrom('offer')
    .innerJoin('member', 'member.id', 'offer.createdBy')
    .select(['offer.id', 'kind', 'offer.title', 'priceMinor', 'priceCurrency', 'minMonths', 'url', 'offer.state'])
    .select(['offer.seenOn', 'offer.createdBy', 'member.name as author', 'offer.createdAt', 'offer.version'])
    .orderBy(sql`offer.state = 'withdrawn'`)
    .orderBy('offer.id')

type Row = Awaited<ReturnType<ReturnType<typeof offers>['executeTakeFirstOrThrow']>>

/** The files that each of the offers opens, with their sculptors, by title. */
async function opened(db: Db, offerIds: string[]) {
  const rows = await db
    .selectFrom('offerFile')
    .innerJoin('file', 'file.id', 'offerFile.fileId')
    .innerJoin('sculptor', 'sculptor.id', 'file.sculptorId')
    .select(['offerFile.offerId', 'file.id', 'file.title', ...sculptorColumns])
    .where('offerFile.offerId', 'in', offerIds)
    .orderBy(sql`plain(file.title)`)
    .orderBy('file.id')
    .execute()
  return Map.groupBy(rows, (row) => row.offerId)
}

async function history(db: Db, offerIds: string[]) {
  const rows = await db
    .selectFrom('offerPrice')
    .select(['offerId', 'priceMinor', 'priceCurrency', 'state', 'seenOn'])
    .where('offerId', 'in', offerIds)
    .orderBy('id')
    .execute()
  return Map.groupBy(rows, (row) => row.offerId)
}

/** Adds what belongs to each offer, and takes away what the viewer may not see. */
async function shown(db: Db, viewer: Viewer, rows: Row[]): Promise<Offer[]> {
  if (rows.length === 0) return []
  const ids = rows.map((row) => row.id)
  const files = await opened(db, ids)
  const prices = await history(db, ids)
  return rows.map((row) => {
    const opens = files.get(row.id) ?? []
    const unnamed = opens.filter((file) => file.sculptorCredit === 'unnamed')
    return {
      id: row.id,
      kind: row.kind,
      title: unnamed.reduce((title, file) => discreet(title, file, viewer), row.title),
      price: fromMinor(row.priceMinor, row.priceCurrency),
      minMonths: row.minMonths,
      url: shownLink({ ...row, opensUnnamed: unnamed.length > 0 }, viewer),
      state: row.state,
      seenOn: row.seenOn,
      files: opens.map((file) => ({ id: file.id, title: discreet(file.title, file, viewer) })),
      prices: (prices.get(row.id) ?? []).map(({ priceMinor, priceCurrency, state, seenOn }) => ({
        price: fromMinor(priceMinor, priceCurrency),
        state,
        seenOn,
      })),
      createdBy: { id: row.createdBy, name: row.author },
      createdAt: row.createdAt.toISOString(),
      version: row.version,
    }
  })
}

/** The offers that open a file, with their price history; the withdrawn ones last. */
export async function offersOf(db: Db, viewer: Viewer, fileId: string): Promise<Offer[]> {
  const rows = await offers(db)
    .where((eb) =>
      eb('offer.id', 'in', eb.selectFrom('offerFile').select('offerFile.offerId').where('fileId', '=', fileId)),
    )
    .execute()
  return shown(db, viewer, rows)
}

/** These offers, as far as they exist. */
export async function offersById(db: Db, viewer: Viewer, ids: string[]): Promise<Offer[]> {
  if (ids.length === 0) return []
  return shown(db, viewer, await offers(db).where('offer.id', 'in', ids).execute())
}

/** @throws Problem 404 */
export async function readOffer(db: Db, viewer: Viewer, id: string): Promise<Offer> {
  const [found] = await offersById(db, viewer, [id])
  if (!found) throw notFound('offer')
  return found
}

/** Adds a way to get this file (and the others that it names). @throws Problem 404, 422 */
export async function addOfferTo(db: Db, viewer: Viewer, fileId: string, offer: NewOffer, now = new Date()) {
  await fileHead(db, fileId)
  const fileIds = [fileId, ...offer.fileIds.filter((id) => id !== fileId)]
  const [wrong] = wrongTerms({ ...offer, files: fileIds.length })
  if (wrong) throw invalid(wrong.path, wrong.message)
  await expectFiles(db, offer.fileIds, '/fileIds')
  return keepOffer(db, viewer, { ...offer, fileIds }, now)
}

/** Adds an offer of the files that it names. @throws Problem 422 */
export async function addOffer(db: Db, viewer: Viewer, offer: NewOffer, now = new Date()) {
  await expectFiles(db, offer.fileIds, '/fileIds')
  return keepOffer(db, viewer, offer, now)
}

async function keepOffer(db: Db, viewer: Viewer, offer: NewOffer, now: Date): Promise<Offer> {
  const { price, fileIds, seenOn, ...columns } = offer
  return inTransaction(db, async (trx) => {
    const group = await groupOf(trx)
    const id = v7()
    const seen = {
      ...priceColumns(price ?? { amount: '0', currency: group.currency }),
      state: columns.state,
      seenOn: daySeen(seenOn, group.timeZone, now),
    }
    await trx
      .insertInto('offer')
      .values({ id, ...columns, ...seen, createdBy: viewer.id })
      .execute()
    await openFiles(trx, id, fileIds)
    await rememberPrice(trx, viewer, id, seen)
    return readOffer(trx, viewer, id)
  })
}

const priceColumns = (price: Money) => ({ priceMinor: toMinor(price), priceCurrency: price.currency })

/** The day it was seen so: the given one, or today. @throws Problem 422 for a day in the future */
function daySeen(given: string | undefined, timeZone: string, now: Date): string {
  if (given !== undefined && given > latestToday(now)) throw invalid('/seenOn', 'That day has not come yet.')
  return given ?? todayIn(timeZone, now)
}

async function openFiles(trx: Db, offerId: string, fileIds: string[]): Promise<void> {
  await trx
    .insertInto('offerFile')
    .values(fileIds.map((fileId) => ({ offerId, fileId })))
    .execute()
}

type Seen = Pick<Row, 'priceMinor' | 'priceCurrency' | 'state' | 'seenOn'>

async function rememberPrice(trx: Db, viewer: Viewer, offerId: string, seen: Seen): Promise<void> {
  await trx
    .insertInto('offerPrice')
    .values({ id: v7(), offerId, ...seen, createdBy: viewer.id })
    .execute()
}

/**
 * Changes an offer: its author, or a steward. A new price, state or day goes into its history; without a day it was seen
 * so today.
 *
 * @param wanted the version that is meant to be changed, if the caller said one
 * @throws Problem 403, 404, 412, 422
 */
export async function changeOffer(
  db: Db,
  viewer: Viewer,
  id: string,
  change: ChangedOffer,
  wanted?: number,
  now = new Date(),
): Promise<Offer> {
  return inTransaction(db, async (trx) => {
    const before = await offerToChange(trx, id)
    if (!mayChange(viewer, before.createdBy))
      throw forbidden('An offer is changed by whoever added it, or by a steward.')
    expectVersion(before.version, wanted)
    const { price, fileIds, seenOn, ...columns } = change
    await expectFitting(trx, before, change)
    const isSeenAnew = price !== undefined || columns.state !== undefined || seenOn !== undefined
    const { timeZone, currency } = await groupOf(trx)
    const { priceMinor, priceCurrency } = before
    const asked = price === undefined ? { priceMinor, priceCurrency } : priceColumns(price ?? { amount: '0', currency })
    const seen = {
      ...asked,
      state: columns.state ?? before.state,
      seenOn: isSeenAnew ? daySeen(seenOn, timeZone, now) : before.seenOn,
    }
    await trx
      .updateTable('offer')
      .set({ ...columns, ...seen, version: sql<number>`version + 1` })
      .where('id', '=', id)
      .execute()
    if (isSeenAnew && differs(before, seen)) await rememberPrice(trx, viewer, id, seen)
    if (fileIds !== undefined) {
      await trx.deleteFrom('offerFile').where('offerId', '=', id).execute()
      await openFiles(trx, id, fileIds)
    }
    return readOffer(trx, viewer, id)
  })
}

const differs = (one: Seen, other: Seen) =>
  one.priceMinor !== other.priceMinor ||
  one.priceCurrency !== other.priceCurrency ||
  one.state !== other.state ||
  one.seenOn !== other.seenOn

/** Locks an offer for a change. @throws Problem 404 */
async function offerToChange(trx: Db, id: string) {
  const row = await trx
    .selectFrom('offer')
    .select(['kind', 'priceMinor', 'priceCurrency', 'minMonths', 'state', 'seenOn', 'createdBy', 'version'])
    .where('id', '=', id)
    .forUpdate()
    .executeTakeFirst()
  if (!row) throw notFound('offer')
  return row
}

/** @throws Problem 422 when the offer would not fit together after the change */
async function expectFitting(
  trx: Db,
  before: Awaited<ReturnType<typeof offerToChange>>,
  change: ChangedOffer,
): Promise<void> {
  const { price, minMonths, fileIds } = change
  const errors = wrongTerms({
    kind: before.kind,
    price: price === undefined ? fromMinor(before.priceMinor, before.priceCurrency) : price,
    minMonths: minMonths === undefined ? before.minMonths : minMonths,
    files: fileIds?.length ?? 1,
  })
  if (errors[0]) throw new Problem(422, errors[0].message, { errors })
  await expectFiles(trx, fileIds ?? [], '/fileIds')
}

/** Who added the offer. @throws Problem 404 */
export async function offerAuthor(db: Db, id: string): Promise<string> {
  const row = await db.selectFrom('offer').select('createdBy').where('id', '=', id).executeTakeFirst()
  if (!row) throw notFound('offer')
  return row.createdBy
}

/** Whether there is a link that only stewards may see. */
export async function linkIsHidden(db: Db, id: string): Promise<boolean> {
  const row = await db
    .selectFrom('offer')
    .select('state')
    .select((eb) =>
      eb
        .exists(
          eb
            .selectFrom('offerFile')
            .innerJoin('file', 'file.id', 'offerFile.fileId')
            .innerJoin('sculptor', 'sculptor.id', 'file.sculptorId')
            .select('file.id')
            .whereRef('offerFile.offerId', '=', 'offer.id')
            .where('sculptor.credit', '=', 'unnamed'),
        )
        .as('opensUnnamed'),
    )
    .where('id', '=', id)
    .where('url', 'is not', null)
    .executeTakeFirst()
  return row !== undefined && (row.state === 'withdrawn' || row.opensUnnamed === true)
}
