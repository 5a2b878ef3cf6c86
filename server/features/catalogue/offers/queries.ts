import { sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'
import { fromMinor } from '../../../http/money.ts'
import { notFound } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { discreet, sculptorColumns, shownTitle } from '../files/rules.ts'
import { writerOf } from '../sculptors/own-words.ts'
import { shownLink } from './rules.ts'
import type { Offer } from './schema.ts'

const offers = (db: Db) =>
  db
    .selectFrom('offer')
    .innerJoin('member', 'member.id', 'offer.createdBy')
    .select(['offer.id', 'kind', 'offer.title', 'priceMinor', 'priceCurrency', 'minMonths', 'url', 'offer.state'])
    .select(['offer.seenOn', 'offer.createdBy', 'member.name as author', 'offer.createdAt', 'offer.version'])
    .select('offer.othersWords')
    .orderBy(sql`offer.state = 'withdrawn'`)
    .orderBy('offer.id')

type Row = Awaited<ReturnType<ReturnType<typeof offers>['executeTakeFirstOrThrow']>>

/** The files that each of the offers opens, with their sculptors. */
async function opened(db: Db, offerIds: string[]) {
  const rows = await db
    .selectFrom('offerFile')
    .innerJoin('file', 'file.id', 'offerFile.fileId')
    .innerJoin('sculptor', 'sculptor.id', 'file.sculptorId')
    .select(['offerFile.offerId', 'file.id', 'file.title', ...sculptorColumns])
    .where('offerFile.offerId', 'in', offerIds)
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

const collator = new Intl.Collator('en')

/** In the order of the titles as they are shown: that of the whole ones would tell what is left out of some. */
const byTitle = (files: { id: string; title: string }[]) =>
  files.toSorted((one, other) => collator.compare(one.title, other.title) || (one.id < other.id ? -1 : 1))

/** Adds what belongs to each offer, and takes away what the viewer may not see. */
async function shown(db: Db, viewer: Viewer, rows: Row[]): Promise<Offer[]> {
  if (rows.length === 0) return []
  const ids = rows.map((row) => row.id)
  const files = await opened(db, ids)
  const prices = await history(db, ids)
  return rows.map((row) => {
    const opens = files.get(row.id) ?? []
    const unnamed = opens.filter((file) => file.sculptorCredit === 'unnamed')
    const by = (field: string) => writerOf(row, field)
    return {
      id: row.id,
      kind: row.kind,
      title: unnamed.reduce((title, file) => discreet(title, file, viewer, by('title')), row.title),
      price: fromMinor(row.priceMinor, row.priceCurrency),
      minMonths: row.minMonths,
      url: shownLink({ ...row, opensUnnamed: unnamed.length > 0, by: by('url') }, viewer),
      state: row.state,
      seenOn: row.seenOn,
      files: byTitle(opens.map((file) => ({ id: file.id, title: shownTitle(file, viewer) }))),
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

/** Who added the offer. @throws Problem 404 */
export async function offerAuthor(db: Db, id: string): Promise<string> {
  const row = await db.selectFrom('offer').select('createdBy').where('id', '=', id).executeTakeFirst()
  if (!row) throw notFound('offer')
  return row.createdBy
}

/** Which of these offers have a link that the viewer was not shown. */
export async function withHiddenLink(db: Db, offers: readonly Offer[]): Promise<Set<string>> {
  const ids = offers.filter(({ url }) => url === null).map(({ id }) => id)
  if (ids.length === 0) return new Set()
  const rows = await db.selectFrom('offer').select('id').where('id', 'in', ids).where('url', 'is not', null).execute()
  return new Set(rows.map(({ id }) => id))
}
