import { sql } from 'kysely'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { forbidden, notFound } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import type { Known } from '../../../http/sign-in.ts'
import { hashOfCode } from '../invitations/queries.ts'
import { setPassword } from '../me/queries.ts'
import { expectHard } from '../members/passwords.ts'
import { standingsOf } from '../members/queries.ts'
import { refusedWayBack } from '../members/rules.ts'

const hourMs = 3_600_000
const dayMs = 24 * hourMs

/**
 * Makes a way back in for a member who forgot their password; one made before no longer works.
 *
 * @param code what lets them in; only its hash is kept
 * @returns when it ends
 * @throws Problem 403, 404, 409 (for oneself, or for somebody who has left)
 */
export async function makeWayBack(db: Db, viewer: Viewer, id: string, code: string, now: Date) {
  const expiresAt = new Date(now.getTime() + dayMs)
  await inTransaction(db, async (trx) => {
    const held = await standingsOf(trx, [viewer.id, id])
    const [by, who] = [held.get(viewer.id), held.get(id)]
    if (!by || !who) throw notFound('member')
    const refused =
      by.state === 'left'
        ? forbidden('You have left the group. Ask the owner to let you back in.')
        : refusedWayBack(by, who)
    if (refused) throw refused
    await keepWayBack(trx, id, { codeHash: hashOfCode(code), expiresAt })
  })
  return { expiresAt: expiresAt.toISOString() }
}

/**
 * Makes a way back in for the owner of the group, whom nobody in it can help: for whoever sits at the server. Good for an
 * hour; one made before no longer works.
 *
 * @returns the owner's name; null when this is not the owner's address
 */
export async function makeOwnersWayBack(db: Db, email: string, code: string, now: Date) {
  const owner = await db
    .selectFrom('member')
    .select(['id', 'name'])
    .where('role', '=', 'owner')
    .where(sql<boolean>`lower(email) = lower(${email})`)
    .executeTakeFirst()
  if (!owner) return null
  const expiresAt = new Date(now.getTime() + hourMs)
  await keepWayBack(db, owner.id, { codeHash: hashOfCode(code), expiresAt })
  return { name: owner.name, expiresAt }
}

async function keepWayBack(db: Db, memberId: string, link: { codeHash: string; expiresAt: Date }): Promise<void> {
  await db
    .insertInto('wayBack')
    .values({ memberId, ...link })
    .onConflict((c) => c.column('memberId').doUpdateSet(link))
    .execute()
}

/** Whom the code lets back in. @throws Problem 404 when it lets in nobody, or no more */
export async function openWayBack(db: Db, code: string, now: Date) {
  return db
    .selectFrom('wayBack')
    .innerJoin('member', 'member.id', 'wayBack.memberId')
    .select(['member.id', 'member.name', 'member.email'])
    .where('codeHash', '=', hashOfCode(code))
    .where('expiresAt', '>', now)
    .where('member.state', '=', 'active')
    .executeTakeFirstOrThrow(() => notFound('link'))
}

/** Sets a new password by the code, which then is used up, and ends all sessions. @throws Problem 404, 422 */
export async function takeWayBack(db: Db, code: string, password: string, now: Date): Promise<Known> {
  return inTransaction(db, async (trx) => {
    const who = await openWayBack(trx, code, now)
    await expectHard(trx, password, who, '/password')
    // The member before the link, as in every change of a password: two of them must not wait for each other.
    await trx.selectFrom('member').select('id').where('id', '=', who.id).forNoKeyUpdate().execute()
    const used = await trx.deleteFrom('wayBack').where('codeHash', '=', hashOfCode(code)).executeTakeFirst()
    if (used.numDeletedRows === 0n) throw notFound('link')
    return setPassword(trx, who.id, password)
  })
}
