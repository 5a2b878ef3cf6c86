import { createHash, randomBytes } from 'node:crypto'
import { type ExpressionBuilder, sql } from 'kysely'
import { v7 } from 'uuid'
import type { z } from 'zod'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import type { Tables } from '../../../../db/tables.ts'
import { isSteward } from '../../../http/access.ts'
import { type Asked, pageById, shownPage } from '../../../http/paging.ts'
import { forbidden, notFound } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { addMember, standingsOf } from '../members/queries.ts'
import type { newMember } from '../members/schema.ts'
import type { newInvitation } from './schema.ts'

/** What is kept of a code that lets people in. It is random and long, so that a fast hash will do. */
export const hashOfCode = (code: string) => createHash('sha256').update(code).digest('base64url')

/** A code that nobody guesses: 144 bits. */
export const newCode = () => randomBytes(18).toString('base64url')

/**
 * Makes an invitation. The same steward's same code again is the same invitation again.
 *
 * @param code what will let people in; only its hash is kept, so it can never be read again
 * @throws Problem 403 when somebody but the owner invites a steward, roles being the owner's to give, and for who is no steward any more
 */
export async function invite(db: Db, by: Viewer, wanted: z.infer<typeof newInvitation>, now: Date, code = newCode()) {
  const expiresAt = new Date(now.getTime() + wanted.expiresInDays * 86_400_000)
  const { role, uses: usesLeft, note } = wanted
  const row = { id: v7(), role, usesLeft, note, expiresAt, createdBy: by.id, createdAt: now }
  return inTransaction(db, async (trx) => {
    const maker = (await standingsOf(trx, [by.id])).get(by.id)
    if (maker?.state !== 'active' || !isSteward(maker)) throw forbidden('Only stewards can invite people.')
    if (role === 'steward' && maker.role !== 'owner')
      throw forbidden('Only the owner can invite somebody as a steward.')
    await trx
      .insertInto('invitation')
      .values({ ...row, codeHash: hashOfCode(code) })
      .onConflict((c) => c.column('codeHash').doNothing())
      .execute()
    const made = await invitations(trx)
      .where('codeHash', '=', hashOfCode(code))
      .where('createdBy', '=', by.id)
      .executeTakeFirstOrThrow(() => notFound('invitation'))
    return { invitation: shown(made), code }
  })
}

const invitations = (db: Db) =>
  db
    .selectFrom('invitation')
    .innerJoin('member', 'member.id', 'invitation.createdBy')
    .select(['invitation.id', 'invitation.role', 'usesLeft', 'invitation.note', 'expiresAt', 'invitation.createdAt'])
    .select(['member.id as makerId', 'member.name as maker'])

type Row = Awaited<ReturnType<ReturnType<typeof invitations>['executeTakeFirstOrThrow']>>

const shown = ({ makerId, maker, expiresAt, createdAt, ...row }: Row) => ({
  ...row,
  expiresAt: expiresAt.toISOString(),
  createdAt: createdAt.toISOString(),
  createdBy: { id: makerId, name: maker },
})

/** Whether a row of `invitation` still lets somebody in. */
const isOpen = (now: Date) => (eb: ExpressionBuilder<Tables, 'invitation'>) =>
  eb.and([eb('withdrawnAt', 'is', null), eb('usesLeft', '>', 0), eb('expiresAt', '>', now)])

/** A page of the invitations that still let somebody in, newest first. */
export const openInvitations = async (db: Db, now: Date, asked: Asked) =>
  shownPage(await pageById(invitations(db).where(isOpen(now)), 'invitation.id', 'desc', asked), shown)

/** @throws Problem 404 unless the code is one that still lets somebody in */
export async function openInvitation(db: Db, code: string, now: Date) {
  return db
    .selectFrom('invitation')
    .innerJoin('member', 'member.id', 'invitation.createdBy')
    .select(['invitation.id', 'invitation.role', 'member.name as invitedBy'])
    .where('codeHash', '=', hashOfCode(code))
    .where(isOpen(now))
    .executeTakeFirstOrThrow(() => notFound('invitation'))
}

/**
 * Lets somebody in. The last use goes to one of two at the same moment: the count is taken down in the database.
 *
 * @throws Problem 404 when the invitation lets nobody in any more, 422 when the address is taken, or a name
 *   that looks like it
 */
export async function acceptInvitation(db: Db, code: string, who: z.infer<typeof newMember>, now: Date) {
  return inTransaction(db, async (trx) => {
    const used = await trx
      .updateTable('invitation')
      .set({ usesLeft: sql<number>`uses_left - 1` })
      .where('codeHash', '=', hashOfCode(code))
      .where(isOpen(now))
      .returning('role')
      .executeTakeFirstOrThrow(() => notFound('invitation'))
    return addMember(trx, who, used.role)
  })
}

/** @throws Problem 404 when there is none to withdraw */
export async function withdrawInvitation(db: Db, id: string, now: Date): Promise<void> {
  const done = await db
    .updateTable('invitation')
    .set({ withdrawnAt: now })
    .where('id', '=', id)
    .where('withdrawnAt', 'is', null)
    .executeTakeFirst()
  if (done.numUpdatedRows === 0n) throw notFound('invitation')
}
