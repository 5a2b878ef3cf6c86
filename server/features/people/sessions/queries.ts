import type { FastifyReply } from 'fastify'
import type { z } from 'zod'
import type { Db } from '../../../../db/connect.ts'
import type { Role } from '../../../../db/tables.ts'
import { type Allowance, clearTries, countTry, forgetOldTries, giveBackTry, placeOf } from '../../../http/attempts.ts'
import { note } from '../../../http/events.ts'
import { type Asked, pageById, shownPage } from '../../../http/paging.ts'
import { notFound, Problem } from '../../../http/problem.ts'
import { type Known, signIn } from '../../../http/sign-in.ts'
import { fingerprint } from '../members/fingerprint.ts'
import { hashPassword, isCheap, isNobodysPassword, isPassword } from '../members/passwords.ts'
import type { credentials } from './schema.ts'

/*
 * Wrong tries within a quarter of an hour. A place may serve a whole household or club. Right ones are not counted, so
 * that many members behind one address don't use up each other's tries.
 */
const windowS = 900
export const perPlace = { tries: 60, windowS }
export const perAccountFromPlace = { tries: 10, windowS }
export const perAccount = { tries: 30, windowS }
// Whoever guesses at an account from several places would lock its owner out: where nobody has guessed at it yet, one
// try is always free. A guesser has to come from a new place each time for that.
const firstFromPlace = { tries: 1_000_000_000, windowS }

type Given = z.infer<typeof credentials>
type Found = Known & { name: string; role: Role }

interface Keys {
  place: string
  account: string
  accountFromPlace: string
}

function keysOf(email: string, from: string): Keys {
  const place = placeOf(from)
  const account = `sign-in as ${fingerprint(email)}`
  return { place: `sign-in from ${place}`, account, accountFromPlace: `${account} from ${place}` }
}

/** Counts the try as a wrong one before it is known, so that many at the same moment don't get past the limits. */
async function countSignIn(db: Db, { place, account, accountFromPlace }: Keys, now: Date): Promise<void> {
  const counted: string[] = []
  const count = async (key: string, allowance: Allowance) => {
    const tries = await countTry(db, [key], allowance, now)
    counted.push(key)
    return tries
  }
  try {
    await count(place, perPlace)
    const here = await count(accountFromPlace, perAccountFromPlace)
    await count(account, here === 1 ? firstFromPlace : perAccount)
  } catch (error) {
    await giveBackTry(db, counted)
    throw error
  }
}

/**
 * Finds the member by address and password. Each wrong try counts against the place it comes from, the account, and
 * both together; a right one clears what the account has, from everywhere and from that place.
 *
 * @param from the network address that asks
 * @throws Problem 422 when the two don't go together (the same for an unknown address), 429 after too many wrong tries
 */
async function memberByPassword(db: Db, given: Given, from: string, now: Date): Promise<Found> {
  const keys = keysOf(given.email, from)
  await countSignIn(db, keys, now)
  const found = await matching(db, given)
  if (!found) throw new Problem(422, 'The e-mail address or the password is wrong.')
  // Not all that the place has: whoever guesses could clear it by signing in as themself now and then.
  await giveBackTry(db, [keys.place])
  await clearTries(db, keys.account, keys.accountFromPlace)
  await forgetOldTries(db, now)
  return found
}

/** The id of the active member with this address, for the log; null when it is nobody's. */
async function idByAddress(db: Db, email: string): Promise<string | null> {
  return (await byAddress(db, email).executeTakeFirst())?.id ?? null
}

const byAddress = (db: Db, email: string) =>
  db
    .selectFrom('member')
    .select(['id', 'name', 'role', 'passwordHash'])
    .where((eb) => eb(eb.fn('lower', ['email']), '=', email))
    .where('state', '=', 'active')

/** The member whose address and password these are. A hash that was made when less cost was usual is made anew. */
async function matching(db: Db, given: Given): Promise<Found | undefined> {
  const found = await byAddress(db, given.email).executeTakeFirst()
  const isRight = found ? await isPassword(found.passwordHash, given.password) : await isNobodysPassword(given.password)
  if (!found || !isRight) return undefined
  if (!isCheap(found.passwordHash)) return found
  const passwordHash = await hashPassword(given.password)
  const renewed = await db
    .updateTable('member')
    .set({ passwordHash })
    .where('id', '=', found.id)
    .where('passwordHash', '=', found.passwordHash)
    .executeTakeFirst()
  // Somebody was quicker: the same member on another browser, or a change of password.
  return renewed.numUpdatedRows > 0n ? { ...found, passwordHash } : matching(db, given)
}

/**
 * Signs in on this browser whoever has this address and this password.
 *
 * @throws Problem 422 when the two don't go together, 409 when the password is changed at this very moment, 429
 */
export async function signInByPassword(reply: FastifyReply, given: z.infer<typeof credentials>) {
  const { request } = reply
  try {
    const found = await memberByPassword(request.db, given, request.ip, request.server.now())
    await signIn(reply, found, 'password')
    return found
  } catch (error) {
    if (error instanceof Problem)
      note(request, 'sign-in failed', { status: error.status, memberId: await idByAddress(request.db, given.email) })
    throw error
  }
}

/**
 * A page of the sessions by which a member is signed in, newest first.
 *
 * @param currentHash of the session that asks
 */
export async function listSessions(db: Db, memberId: string, currentHash: string | undefined, asked: Asked) {
  const own = db
    .selectFrom('session')
    .select(['id', 'idHash', 'createdAt', 'seenAt', 'place', 'browser'])
    .where('memberId', '=', memberId)
    .where('expiresAt', '>', new Date())
  return shownPage(await pageById(own, 'id', 'desc', asked), ({ idHash, createdAt, seenAt, place, ...row }) => ({
    ...row,
    signedInAt: createdAt.toISOString(),
    lastUsedAt: seenAt.toISOString(),
    from: place,
    isCurrent: idHash === currentHash,
  }))
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
