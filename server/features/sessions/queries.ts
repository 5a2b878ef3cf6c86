import type { Db } from '../../../db/connect.ts'
import { clearTries, countTry } from '../../http/attempts.ts'
import { Problem } from '../../http/problem.ts'
import { isNobodysPassword, isPassword } from '../members/passwords.ts'

/** Per account and per address within a quarter of an hour; an address may serve a whole household. */
const perAccount = { tries: 10, windowS: 900 }
const perAddress = { tries: 60, windowS: 900 }

/**
 * Finds the member by address and password. Each try counts against the account and the address it comes from; a
 * right one clears the account's.
 *
 * @throws Problem 422 when the two don't go together (the same for an unknown address), 429 after too many tries
 */
export async function memberByPassword(db: Db, given: { email: string; password: string }, from: string, now: Date) {
  const account = `sign-in as ${given.email}`
  await countTry(db, [`sign-in from ${from}`], perAddress, now)
  await countTry(db, [account], perAccount, now)
  const found = await db
    .selectFrom('member')
    .select(['id', 'name', 'role', 'passwordHash'])
    .where((eb) => eb(eb.fn('lower', ['email']), '=', given.email))
    .where('state', '=', 'active')
    .executeTakeFirst()
  const isRight = found ? await isPassword(found.passwordHash, given.password) : await isNobodysPassword(given.password)
  if (!found || !isRight) throw new Problem(422, 'This address and this password do not go together.')
  await clearTries(db, account)
  return { id: found.id, name: found.name, role: found.role }
}
