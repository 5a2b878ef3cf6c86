import { sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'
import { type Asked, type Page, pageById } from '../../../http/paging.ts'
import { invalid } from '../../../http/problem.ts'
import { rowOf } from '../../../http/rows.ts'
import type { Viewer } from '../../../http/session.ts'
import { fileHead } from '../files/heads.ts'
import { filesById } from '../files/queries.ts'
import { offersById } from '../offers/queries.ts'
import type { Offer } from '../offers/schema.ts'
import type { Archived, Running } from './schema.ts'

/** A page of the files that the member has, newest file first. */
export async function listArchive(db: Db, viewer: Viewer, asked: Asked): Promise<Page<Archived>> {
  const own = db.selectFrom('archive').select(['fileId', 'createdAt']).where('memberId', '=', viewer.id)
  const rows = await pageById(own, 'fileId', 'desc', asked)
  const ids = rows.items.map(({ fileId }) => fileId)
  const files = new Map((await filesById(db, viewer, ids)).map((file) => [file.id, file]))
  const items = rows.items.flatMap(({ fileId, createdAt }) => {
    const file = files.get(fileId)
    return file ? [{ file, since: createdAt.toISOString() }] : []
  })
  return { items, next: rows.next }
}

/** Notes that the member has a file; noting it twice does no harm. @throws Problem 404 */
export async function keepInArchive(db: Db, viewer: Viewer, fileId: string): Promise<void> {
  await fileHead(db, fileId)
  await db
    .insertInto('archive')
    .values({ memberId: viewer.id, fileId })
    .onConflict((c) => c.doNothing())
    .execute()
}

/** The same for all files that an offer opens. */
export async function keepOpened(db: Db, viewer: Viewer, offerId: string): Promise<void> {
  await sql`insert into archive (member_id, file_id)
    select ${viewer.id}::uuid, file_id from offer_file where offer_id = ${offerId} on conflict do nothing`.execute(db)
}

/** Strikes a file out of the member's archive, if it is there. */
export async function takeFromArchive(db: Db, viewer: Viewer, fileId: string): Promise<void> {
  await db.deleteFrom('archive').where('memberId', '=', viewer.id).where('fileId', '=', fileId).execute()
}

/** A page of the member's running memberships. */
export async function listMemberships(db: Db, viewer: Viewer, asked: Asked): Promise<Page<Running>> {
  const own = db.selectFrom('runningMembership').select(['offerId', 'createdAt']).where('memberId', '=', viewer.id)
  const rows = await pageById(own, 'offerId', 'desc', asked)
  const ids = rows.items.map(({ offerId }) => offerId)
  const offers = new Map((await offersById(db, viewer, ids)).map((offer) => [offer.id, offer]))
  const items = rows.items.flatMap(({ offerId, createdAt }) => {
    const offer = offers.get(offerId)
    return offer ? [{ offer, since: createdAt.toISOString() }] : []
  })
  return { items, next: rows.next }
}

/** Notes that the member pays for a membership. @throws Problem 404, 422 when the offer is none */
export async function startMembership(db: Db, viewer: Viewer, offerId: string): Promise<void> {
  const offer = await rowOf(db, 'offer', offerId, ['kind'])
  if (offer.kind !== 'membership')
    throw invalid('/offerId', 'This offer is not a membership. If you bought it, put its file into your archive.')
  await db
    .insertInto('runningMembership')
    .values({ memberId: viewer.id, offerId })
    .onConflict((c) => c.doNothing())
    .execute()
}

/** Strikes a membership out, if it runs. */
export async function endMembership(db: Db, viewer: Viewer, offerId: string): Promise<void> {
  await db.deleteFrom('runningMembership').where('memberId', '=', viewer.id).where('offerId', '=', offerId).execute()
}

/** Which of these files the viewer has. */
export async function archivedAmong(db: Db, viewer: Viewer, fileIds: string[]): Promise<Set<string>> {
  if (fileIds.length === 0) return new Set()
  const rows = await db
    .selectFrom('archive')
    .select('fileId')
    .where('memberId', '=', viewer.id)
    .where('fileId', 'in', fileIds)
    .execute()
  return new Set(rows.map((row) => row.fileId))
}

/** Memberships that are still to be had and that the viewer does not pay for, the newest first. */
export async function otherMemberships(db: Db, viewer: Viewer, most: number): Promise<Offer[]> {
  const rows = await db
    .selectFrom('offer')
    .select('id')
    .where('kind', '=', 'membership')
    .where('state', '<>', 'withdrawn')
    .where('id', 'not in', db.selectFrom('runningMembership').select('offerId').where('memberId', '=', viewer.id))
    .orderBy('id', 'desc')
    .limit(most)
    .execute()
  const ids = rows.map((row) => row.id)
  return offersById(db, viewer, ids)
}
