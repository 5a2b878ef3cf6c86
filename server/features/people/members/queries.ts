import { sql } from 'kysely'
import { v7 } from 'uuid'
import type { z } from 'zod'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { ifTaken } from '../../../../db/failures.ts'
import type { Role } from '../../../../db/tables.ts'
import { isSteward } from '../../../http/access.ts'
import { withPlateMm } from '../../../http/base.ts'
import { type Asked, type Page, pageByName, shownPage } from '../../../http/paging.ts'
import { invalid, notFound } from '../../../http/problem.ts'
import { addRow } from '../../../http/rows.ts'
import { endSessions, type Viewer } from '../../../http/session.ts'
import type { Known } from '../../../http/sign-in.ts'
import { expectVersion, type Wanted } from '../../../http/version.ts'
import { expectNewName } from './names.ts'
import { expectHard, hashPassword } from './passwords.ts'
import { refusedRole, refusedState, type Standing } from './rules.ts'
import type { ChangedMember, Member, newMember } from './schema.ts'

/**
 * Adds a member.
 *
 * @param trx a transaction
 * @param path where they stand in the body
 * @throws Problem 422 when the address is taken, a name looks like it, or the password is too easily guessed
 */
export async function addMember(trx: Db, who: z.infer<typeof newMember>, role: Role, path = ''): Promise<Known> {
  await expectHard(trx, who.password, who, `${path}/password`)
  const row = { id: v7(), name: who.name, email: who.email, passwordHash: await hashPassword(who.password), role }
  await expectNewName(trx, who.name)
  await addRow(trx, 'member', row).catch(refuseTakenAddress)
  return { id: row.id, passwordHash: row.passwordHash }
}

export const refuseTakenAddress = ifTaken(
  () => invalid('/email', 'Somebody here already has this address. If that is you, sign in with it.'),
  'member_email',
)

const members = (db: Db) =>
  db.selectFrom('member').select(['id', 'name', 'email', 'role', 'state', 'createdAt', 'version'])

type Row = Awaited<ReturnType<ReturnType<typeof members>['executeTakeFirstOrThrow']>>

/** A member as this viewer sees them: addresses are for stewards and oneself. */
function shown({ createdAt, email, ...row }: Row, viewer: Viewer): Member {
  const seesAddress = isSteward(viewer) || viewer.id === row.id
  return { ...row, joinedAt: createdAt.toISOString(), ...(seesAddress && { email }) }
}

interface Listed extends Asked {
  state?: 'active' | 'left' | undefined
}

/** A page of the members, by name. */
export async function listMembers(db: Db, viewer: Viewer, { state, ...asked }: Listed): Promise<Page<Member>> {
  const some = members(db).$if(state !== undefined, (query) => query.where('state', '=', state ?? 'active'))
  return shownPage(await pageByName(some, 'member', asked), (row) => shown(row, viewer))
}

/** @throws Problem 404 */
export async function readMember(db: Db, viewer: Viewer, id: string): Promise<Member> {
  const row = await members(db).where('id', '=', id).executeTakeFirst()
  if (!row) throw notFound('member')
  return shown(row, viewer)
}

/** The printers that a member uses, by name. */
export async function printersOf(db: Db, memberId: string) {
  const rows = await db
    .selectFrom('printer')
    .select(['id', 'name', 'plateWidthMm', 'plateDepthMm', 'buildHeightMm'])
    .where('ownerId', '=', memberId)
    .where('state', '=', 'in use')
    .orderBy('name')
    .orderBy('id')
    .execute()
  return rows.map(withPlateMm)
}

/**
 * Changes a member's role, or lets them leave or come back. Both people's rows are held meanwhile, so that of two
 * changes at once the second is judged by what the first has made of them.
 *
 * @throws Problem 403, 404, 409 (the owner's own role, somebody who has left), 412
 */
export async function changeMember(db: Db, viewer: Viewer, id: string, change: ChangedMember, wanted?: Wanted) {
  return inTransaction(db, async (trx) => {
    const held = await trx
      .selectFrom('member')
      .select(['id', 'role', 'state', 'version'])
      .where('id', 'in', [viewer.id, id])
      .orderBy('id')
      .forUpdate()
      .execute()
    const by = held.find((row) => row.id === viewer.id)
    const who = held.find((row) => row.id === id)
    if (!by || !who) throw notFound('member')
    if (change.role !== undefined) await changeRole(trx, by, who, change.role, wanted)
    if (change.state !== undefined) await changeState(trx, by, who, change.state, wanted)
    return readMember(trx, viewer, id)
  })
}

/**
 * These members as they stand now, held until the transaction ends. Who asks was looked up before the body of the request
 * came, which may take its time: by then they may have another role, or have left.
 *
 * @returns those that there are, by id
 */
export async function standingsOf(trx: Db, ids: readonly string[]): Promise<Map<string, Standing>> {
  const rows = await trx
    .selectFrom('member')
    .select(['id', 'role', 'state'])
    .where('id', 'in', ids)
    .orderBy('id')
    .forShare()
    .execute()
  return new Map(rows.map((row) => [row.id, row]))
}

type Held = Standing & { version: number }

async function changeRole(trx: Db, by: Held, who: Held, role: Role, wanted: Wanted) {
  const refused = refusedRole(by, who, role)
  if (refused) throw refused
  expectVersion(who.version, wanted, by.id === who.id)
  if (who.role === role) return
  // The present owner first: there is one owner at any moment.
  if (role === 'owner') await setStanding(trx, by.id, { role: 'steward' })
  await setStanding(trx, who.id, { role })
  if (role === 'member') await withdrawLinks(trx, who)
}

async function changeState(trx: Db, by: Held, who: Held, state: Held['state'], wanted: Wanted) {
  const refused = refusedState(by, who, state)
  if (refused) throw refused
  expectVersion(who.version, wanted, by.id === who.id)
  if (who.state === state) return
  await setStanding(trx, who.id, { state })
  if (state === 'active') return
  await endSessions(trx, who.id)
  await withdrawLinks(trx, who)
}

// A way back in that a steward made for a plain member must not open a steward's or the owner's account.
async function setStanding(trx: Db, id: string, change: { role?: Role; state?: Held['state'] }): Promise<void> {
  await trx
    .updateTable('member')
    .set({ ...change, version: sql<number>`version + 1` })
    .where('id', '=', id)
    .execute()
  await trx.deleteFrom('wayBack').where('memberId', '=', id).execute()
}

// Whoever may no longer invite must not come back, or bring others in, by a link made before. Nor become another member by
// a way back in: who made which is not kept, so all of them end, and another steward makes a new one.
async function withdrawLinks(trx: Db, { id, role }: Held): Promise<void> {
  await trx
    .updateTable('invitation')
    .set({ withdrawnAt: sql<Date>`now()` })
    .where('createdBy', '=', id)
    .where('withdrawnAt', 'is', null)
    .execute()
  if (role !== 'member') await trx.deleteFrom('wayBack').execute()
}
