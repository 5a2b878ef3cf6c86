import { createHash } from 'node:crypto'
import { type Db, inTransaction } from '../../../db/connect.ts'
import { invalid, notFound } from '../../http/problem.ts'
import type { Viewer } from '../../http/session.ts'
import { setPassword } from './me.ts'
import { weakness } from './passwords.ts'
import { refusedWayBack } from './rules.ts'

const hashOf = (code: string) => createHash('sha256').update(code).digest('base64url')
const lastsMs = 24 * 3_600_000

/**
 * Makes a way back in for a member who forgot their password; one made before no longer works.
 *
 * @param code what lets them in; only its hash is kept
 * @returns when it ends
 * @throws Problem 403, 404, 409 (for oneself, or for somebody who has left)
 */
export async function makeWayBack(db: Db, viewer: Viewer, id: string, code: string, now: Date) {
  const who = await db.selectFrom('member').select(['id', 'role', 'state']).where('id', '=', id).executeTakeFirst()
  if (!who) throw notFound('member')
  const refused = refusedWayBack({ ...viewer, state: 'active' }, who)
  if (refused) throw refused
  const link = { codeHash: hashOf(code), expiresAt: new Date(now.getTime() + lastsMs) }
  await db
    .insertInto('wayBack')
    .values({ memberId: id, ...link })
    .onConflict((c) => c.column('memberId').doUpdateSet(link))
    .execute()
  return { expiresAt: link.expiresAt.toISOString() }
}

/** Whom the code lets back in. @throws Problem 404 when it lets in nobody, or no more */
export async function openWayBack(db: Db, code: string, now: Date) {
  const found = await db
    .selectFrom('wayBack')
    .innerJoin('member', 'member.id', 'wayBack.memberId')
    .select(['member.id', 'member.name', 'member.email'])
    .where('codeHash', '=', hashOf(code))
    .where('expiresAt', '>', now)
    .where('member.state', '=', 'active')
    .executeTakeFirst()
  if (!found) throw notFound('link')
  return found
}

/** Sets a new password by the code, which then is used up, and ends all sessions. @throws Problem 404, 422 */
export async function takeWayBack(db: Db, code: string, password: string, now: Date): Promise<{ id: string }> {
  return inTransaction(db, async (trx) => {
    const who = await openWayBack(trx, code, now)
    const reason = weakness(password, [who.name, who.email])
    if (reason) throw invalid('/password', reason)
    const used = await trx.deleteFrom('wayBack').where('codeHash', '=', hashOf(code)).executeTakeFirst()
    if (used.numDeletedRows === 0n) throw notFound('link')
    await setPassword(trx, who.id, password)
    return { id: who.id }
  })
}
