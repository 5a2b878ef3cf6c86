import { z } from 'zod'
import type { Db } from '../../../../db/connect.ts'
import { type Asked, cutPage, readCursor } from '../../../http/paging.ts'
import { notFound } from '../../../http/problem.ts'

/**
 * A page of the sessions by which a member is signed in, newest first.
 *
 * @param currentHash of the session that asks
 */
export async function listSessions(db: Db, memberId: string, currentHash: string | undefined, { limit, after }: Asked) {
  const [before] = readCursor(after, z.tuple([z.uuid()])) ?? []
  const rows = await db
    .selectFrom('session')
    .select(['id', 'idHash', 'createdAt', 'seenAt', 'place', 'browser'])
    .where('memberId', '=', memberId)
    .where('expiresAt', '>', new Date())
    .$if(before !== undefined, (query) => query.where('id', '<', before ?? ''))
    .orderBy('id', 'desc')
    .limit(limit + 1)
    .execute()
  const cut = cutPage(rows, limit, 'id')
  const items = cut.items.map(({ idHash, createdAt, seenAt, place, ...row }) => ({
    ...row,
    signedInAt: createdAt.toISOString(),
    lastUsedAt: seenAt.toISOString(),
    from: place,
    isCurrent: idHash === currentHash,
  }))
  return { items, next: cut.next }
}

/**
 * Ends one of a member's sessions.
 *
 * @returns its hash
 * @throws Problem 404 when the member has none of this id
 */
export async function endSession(db: Db, memberId: string, id: string): Promise<string> {
  const ended = await db
    .deleteFrom('session')
    .where('id', '=', id)
    .where('memberId', '=', memberId)
    .returning('idHash')
    .executeTakeFirstOrThrow(() => notFound('session'))
  return ended.idHash
}
