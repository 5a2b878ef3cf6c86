import { hash, verify } from '@node-rs/argon2'
import { isCommon } from './common-passwords.ts'

// OWASP's first choice for argon2id (Password Storage Cheat Sheet, from memory): 19 MiB, 2 passes, 1 lane.
const cost = { memoryCost: 19_456, timeCost: 2, parallelism: 1 }

/** argon2id hash of a password, with its own salt and parameters in it. */
export const hashPassword = (password: string) => hash(password.normalize('NFKC'), cost)

/** Whether a hash was made at less cost than one would be now, so that it is quicker to guess at. */
export function isCheap(passwordHash: string): boolean {
  const [, memory, time] = /^\$argon2id\$v=19\$m=(\d+),t=(\d+),p=\d+\$/.exec(passwordHash) ?? []
  return !(Number(memory) >= cost.memoryCost && Number(time) >= cost.timeCost)
}

/** Whether the password is the one that was hashed. */
export const isPassword = (passwordHash: string, password: string) => verify(passwordHash, password.normalize('NFKC'))

// Verified against when there is no such member, so that the answer takes as long as for one that exists.
let decoy: Promise<string> | undefined

/** Takes as long as `isPassword`, and is never right. */
export async function isNobodysPassword(password: string): Promise<false> {
  decoy ??= hashPassword('nobody has this password')
  await isPassword(await decoy, password)
  return false
}

/**
 * What makes a password too easy to guess, besides its length: many have had it, or it is little more than the name
 * of the service or of its member.
 *
 * @param about words that others know: name and e-mail address
 * @returns the reason, or undefined when there is none
 */
export function weakness(password: string, about: readonly string[]): string | undefined {
  if (isCommon(password)) return 'Many people have had this password, so it is tried first. Please take another.'
  const known = ['understudy', 'password', ...about.flatMap((text) => text.toLowerCase().split(/[^\p{L}\p{N}]+/u))]
  const rest = known
    .filter((word) => word.length >= 4)
    .reduce((left, word) => left.replaceAll(word, ''), password.toLowerCase())
    .replace(/[\s._-]/g, '')
  if (new Set(rest).size < 5) return 'This is too easily guessed. A few unrelated words make a good one.'
  return undefined
}
