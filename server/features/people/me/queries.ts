import type { FastifyReply } from 'fastify'
import { sql } from 'kysely'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { clearTries, countTry } from '../../../http/attempts.ts'
import { withPlateMm } from '../../../http/base.ts'
import { note } from '../../../http/events.ts'
import { fromMinor } from '../../../http/money.ts'
import { invalid, notFound, Problem } from '../../../http/problem.ts'
import { endSessions, type Viewer } from '../../../http/session.ts'
import { type Known, signIn } from '../../../http/sign-in.ts'
import { expectVersion, type Wanted } from '../../../http/version.ts'
import { expectNewName } from '../members/names.ts'
import { expectHard, hashPassword, isPassword } from '../members/passwords.ts'
import { refuseTakenAddress } from '../members/queries.ts'
import type { ChangedMe, Me } from '../members/schema.ts'

/** One's own entry. @throws Problem 404 for somebody who is gone */
export async function readMe(db: Db, id: string): Promise<Me> {
  const row = await db
    .selectFrom('member')
    .select(['id', 'name', 'email', 'role', 'state', 'createdAt', 'version'])
    .select(['defaultPrinterId', 'defaultResinId', 'defaultCrowding'])
    .where('id', '=', id)
    .executeTakeFirstOrThrow(() => notFound('member'))
  const { createdAt, ...me } = row
  return { ...me, joinedAt: createdAt.toISOString() }
}

/** The printers to choose one's usual one from: one's own first, then the others' that are in use. */
export async function printersToUse(db: Db, viewer: Viewer) {
  const rows = await db
    .selectFrom('printer')
    .innerJoin('member', 'member.id', 'printer.ownerId')
    .select(['printer.id', 'printer.name', 'ownerId', 'member.name as owner'])
    .where('printer.state', '=', 'in use')
    .where('member.state', '=', 'active')
    .orderBy((eb) => eb('ownerId', '=', viewer.id), 'desc')
    .orderBy('member.name')
    .orderBy('printer.name')
    .execute()
  return rows.map(({ ownerId, owner, ...printer }) => ({ ...printer, owner: ownerId === viewer.id ? null : owner }))
}

/** How often one may get one's own password wrong within a quarter of an hour. */
export const passwordTries = { tries: 10, windowS: 900 }
const triesKey = (memberId: string) => `password of ${memberId}`

/**
 * Counts a try at one's own password. Outside any transaction of the request, which a refusal would take back.
 *
 * @throws Problem 429
 */
export const countPasswordTry = (db: Db, memberId: string, now: Date) =>
  countTry(db, [triesKey(memberId)], passwordTries, now)

/**
 * Changes what one may change about oneself. Call `countPasswordTry` first when a password is in it. A new password
 * ends all sessions; whoever changed it is `known` by it, to be signed in anew.
 *
 * @throws Problem 412, 422 at /name, /password/old, /password/new, /email, /defaultPrinterId, /defaultResinId
 */
async function changeMe(db: Db, viewer: Viewer, change: ChangedMe, wanted?: Wanted) {
  return inTransaction(db, async (trx) => {
    const me = await readMe(trx, viewer.id)
    const meant = expectVersion(me.version, wanted)
    const { password, ...columns } = change
    // A resin is held before its owner, as whoever takes it away does.
    if (change.defaultResinId) await checkResin(trx, viewer, change.defaultResinId)
    await checkPassword(trx, me, change)
    if (change.name !== undefined && change.name !== me.name) await expectNewName(trx, change.name, me.id)
    if (change.defaultPrinterId) await checkPrinter(trx, change.defaultPrinterId)
    const done = await trx
      .updateTable('member')
      .set({ ...columns, version: sql<number>`version + 1` })
      .where('id', '=', viewer.id)
      .$if(meant !== undefined, (query) => query.where('version', '=', me.version))
      .executeTakeFirst()
      .catch(refuseTakenAddress)
    if (done.numUpdatedRows === 0n) expectVersion(-1, meant)
    const known = password?.new === undefined ? undefined : await setPassword(trx, me.id, password.new)
    return { me: await readMe(trx, viewer.id), was: me.email, known }
  })
}

/** Sets a password, and ends every session of the member and every way back in. */
export async function setPassword(db: Db, memberId: string, password: string): Promise<Known> {
  const passwordHash = await hashPassword(password)
  await db.updateTable('member').set({ passwordHash }).where('id', '=', memberId).execute()
  await endSessions(db, memberId)
  await db.deleteFrom('wayBack').where('memberId', '=', memberId).execute()
  return { id: memberId, passwordHash }
}

async function checkPassword(db: Db, me: Me, { password, email, name }: ChangedMe): Promise<void> {
  const isNewAddress = email !== undefined && email !== me.email
  if (isNewAddress && !password) throw invalid('/password/old', 'To change your address, enter your password as well.')
  if (!password) return
  // Held, so that of two changes at once the second is asked for the password that the first has set.
  const { passwordHash } = await db
    .selectFrom('member')
    .select('passwordHash')
    .where('id', '=', me.id)
    .forNoKeyUpdate()
    .executeTakeFirstOrThrow()
  if (!(await isPassword(passwordHash, password.old))) throw invalid('/password/old', 'This is not your password.')
  await clearTries(db, triesKey(me.id))
  const who = { name: name ?? me.name, email: email ?? me.email }
  if (password.new !== undefined) await expectHard(db, password.new, who, '/password/new')
}

async function checkPrinter(db: Db, id: string): Promise<void> {
  await db
    .selectFrom('printer')
    .select('id')
    .where('id', '=', id)
    .where('state', '=', 'in use')
    .executeTakeFirstOrThrow(() => invalid('/defaultPrinterId', 'There is no such printer in use.'))
}

async function checkResin(trx: Db, viewer: Viewer, id: string): Promise<void> {
  await trx
    .selectFrom('resin')
    .select('id')
    .where('id', '=', id)
    .where('ownerId', '=', viewer.id)
    .where('state', '=', 'in use')
    .forShare()
    .executeTakeFirstOrThrow(() => invalid('/defaultResinId', 'You have no such resin in use.'))
}

/** The resins to choose one's usual one from. */
export const resinsToUse = (db: Db, { id }: Viewer) =>
  db
    .selectFrom('resin')
    .select(['id', 'name'])
    .where('ownerId', '=', id)
    .where('state', '=', 'in use')
    .orderBy('id')
    .execute()

/**
 * Changes oneself by this request. A new password ends all sessions, and this browser goes on under a new id: whoever
 * has learnt the old one is out.
 *
 * @throws Problem as `changeMe`
 */
export async function changeOneself(reply: FastifyReply, change: ChangedMe, wanted?: Wanted) {
  const { request } = reply
  const { me, was, known } = await changeMe(request.db, request.member, change, wanted).catch((error: unknown) => {
    if (isWrongPassword(error)) note(request, 'password wrong')
    throw error
  })
  if (known) {
    await signIn(reply, known, 'new password')
    note(request, 'password changed')
  }
  if (change.email !== undefined && change.email !== was) note(request, 'address changed')
  return me
}

const isWrongPassword = (error: unknown) =>
  error instanceof Problem && error.errors.some(({ path }) => path === '/password/old')

/** The member's usual printer; null without one. */
export async function usualPrinter(db: Db, { defaultPrinterId }: Me) {
  if (!defaultPrinterId) return null
  const row = await db
    .selectFrom('printer')
    .select(['printer.id', 'name', 'plateWidthMm', 'plateDepthMm', 'buildHeightMm'])
    .where('printer.id', '=', defaultPrinterId)
    .executeTakeFirst()
  return row ? withPlateMm(row) : null
}

/** The member's usual resin and what it cost; null without one. */
export async function usualResin(db: Db, { defaultResinId }: Me) {
  if (!defaultResinId) return null
  const row = await db
    .selectFrom('resin')
    .select(['resin.id', 'name', 'priceMinor', 'priceCurrency', 'bottleG', 'bottleMl'])
    .where('resin.id', '=', defaultResinId)
    .executeTakeFirst()
  if (!row) return null
  const { priceMinor, priceCurrency, ...resin } = row
  return { ...resin, price: fromMinor(priceMinor, priceCurrency) }
}
