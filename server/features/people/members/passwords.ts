import { hash, verify } from '@node-rs/argon2'
import type { Db } from '../../../../db/connect.ts'
import { readGroup } from '../../../http/group.ts'
import { passwordCost } from '../../../http/password-cost.ts'
import { invalid } from '../../../http/problem.ts'
import { weakness } from './weakness.ts'

/** argon2id hash of a password, with its own salt and parameters in it. */
export const hashPassword = (password: string) => hash(password.normalize('NFKC'), passwordCost)

/** Whether a hash was made at less cost than one would be now, so that it is quicker to guess at. */
export function isCheap(passwordHash: string): boolean {
  const [, memory, time] = /^\$argon2id\$v=19\$m=(\d+),t=(\d+),p=\d+\$/.exec(passwordHash) ?? []
  return !(Number(memory) >= passwordCost.memoryCost && Number(time) >= passwordCost.timeCost)
}

/** Whether the password is the one that was hashed. */
export const isPassword = (passwordHash: string, password: string) => verify(passwordHash, password.normalize('NFKC'))

// Verified against when there is no such member, so that the answer takes as long as for one that exists.
let decoy: Promise<string> | undefined
const makeDecoy = () => hashPassword('nobody has this password')

/** Takes as long as `isPassword`, and is never right. */
export async function isNobodysPassword(password: string): Promise<false> {
  decoy ??= makeDecoy()
  if (isCheap(await decoy)) decoy = makeDecoy()
  await isPassword(await decoy, password)
  return false
}

/**
 * Every password that somebody sets comes by here.
 *
 * @param path where it stands in the body
 * @throws Problem 422 when it is too easily guessed (weakness.ts), in words that say why
 */
export async function expectHard(db: Db, password: string, who: { name: string; email: string }, path: string) {
  const reason = weakness(password, { ...who, groupName: (await readGroup(db))?.name ?? '' })
  if (reason) throw invalid(path, reason)
}
