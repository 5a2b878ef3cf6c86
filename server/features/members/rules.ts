import { hash, verify } from '@node-rs/argon2'

// OWASP's first choice for argon2id (Password Storage Cheat Sheet, from memory): 19 MiB, 2 passes, 1 lane.
const cost = { memoryCost: 19_456, timeCost: 2, parallelism: 1 }

/** argon2id hash of a password, with its own salt and parameters in it. */
export const hashPassword = (password: string) => hash(password.normalize('NFKC'), cost)

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
