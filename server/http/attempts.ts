import { sql } from 'kysely'
import type { Db } from '../../db/connect.ts'
import { Problem } from './problem.ts'

/** How many tries a key has within a window of seconds. */
export interface Allowance {
  tries: number
  windowS: number
}

/**
 * Counts one try for each key, in the database so that all processes count together.
 *
 * @param keys what is limited, e.g. "sign-in from 192.0.2.7"
 * @throws Problem 429 with the seconds to wait when one of them has used up its allowance
 */
export async function countTry(db: Db, keys: string[], { tries, windowS }: Allowance, now: Date): Promise<void> {
  const limit = new Date(now.getTime() - windowS * 1000)
  const rows = await db
    .insertInto('attempt')
    .values(keys.map((key) => ({ key, windowStart: now, tries: 1 })))
    .onConflict((c) =>
      c.column('key').doUpdateSet({
        tries: sql<number>`case when attempt.window_start <= ${limit} then 1 else attempt.tries + 1 end`,
        windowStart: sql<Date>`case when attempt.window_start <= ${limit} then excluded.window_start else attempt.window_start end`,
      }),
    )
    .returning(['tries', 'windowStart'])
    .execute()
  const full = rows.find((row) => row.tries > tries)
  if (full) {
    const retryAfterS = Math.max(1, Math.ceil((full.windowStart.getTime() - limit.getTime()) / 1000))
    throw new Problem(429, 'Too many tries. Please wait a little.', { retryAfterS })
  }
}

/** Forgets the tries of a key after it got it right. */
export async function clearTries(db: Db, key: string): Promise<void> {
  await db.deleteFrom('attempt').where('key', '=', key).execute()
}

/** Forgets tries that no window counts any more, so that addresses are not kept for nothing. */
export async function forgetOldTries(db: Db, now: Date): Promise<void> {
  await db
    .deleteFrom('attempt')
    .where('windowStart', '<', new Date(now.getTime() - 86_400_000))
    .execute()
}

/**
 * From where somebody tries, as far as it makes sense to count: an IPv4 address, or the /64 network of an IPv6 one,
 * all of which one household or host usually has to itself.
 */
export function placeOf(address: string): string {
  const mapped = /^(?:::ffff:)?(\d{1,3}(?:\.\d{1,3}){3})$/i.exec(address)
  if (mapped?.[1]) return mapped[1]
  const [head = '', tail] = (address.split('%')[0] ?? '').toLowerCase().split('::')
  const [first, last] = [head, tail ?? ''].map((part) => part.split(':').filter(Boolean)) as [string[], string[]]
  const zeros = tail === undefined ? 0 : Math.max(0, 8 - first.length - last.length)
  const groups = [...first, ...Array<string>(zeros).fill('0'), ...last]
  return `${groups.slice(0, 4).join(':')}::/64`
}
