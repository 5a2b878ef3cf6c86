import type { Db } from '../../../db/connect.ts'
import { clearTries, countTry, forgetOldTries, placeOf } from '../../http/attempts.ts'
import { Problem } from '../../http/problem.ts'
import { fingerprint } from '../members/fingerprint.ts'
import { isNobodysPassword, isPassword } from '../members/passwords.ts'

/*
 * Tries within a quarter of an hour. A place may serve a whole household. Whoever guesses at one account from one place
 * is stopped before they have used up what the account has from everywhere, so that they can't lock its owner out.
 */
const windowS = 900
const perPlace = { tries: 60, windowS }
const perAccountFromPlace = { tries: 10, windowS }
const perAccount = { tries: 30, windowS }

/**
 * Finds the member by address and password. Each try counts against the place it comes from, the account, and both
 * together; a right one clears what the account has from that place.
 *
 * @param from the network address that asks
 * @throws Problem 422 when the two don't go together (the same for an unknown address), 429 after too many tries
 */
export async function memberByPassword(db: Db, given: { email: string; password: string }, from: string, now: Date) {
  const place = placeOf(from)
  const account = `sign-in as ${fingerprint(given.email)}`
  await countTry(db, [`sign-in from ${place}`], perPlace, now)
  await countTry(db, [`${account} from ${place}`], perAccountFromPlace, now)
  await countTry(db, [account], perAccount, now)
  const found = await db
    .selectFrom('member')
    .select(['id', 'name', 'role', 'passwordHash'])
    .where((eb) => eb(eb.fn('lower', ['email']), '=', given.email))
    .where('state', '=', 'active')
    .executeTakeFirst()
  const isRight = found ? await isPassword(found.passwordHash, given.password) : await isNobodysPassword(given.password)
  if (!found || !isRight) throw new Problem(422, 'This address and this password do not go together.')
  await clearTries(db, `${account} from ${place}`)
  await forgetOldTries(db, now)
  return { id: found.id, name: found.name, role: found.role }
}
