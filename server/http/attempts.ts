import ipaddr from 'ipaddr.js'
import { type RawBuilder, sql } from 'kysely'
import type { Db } from '../../db/connect.ts'
import { often } from '../../db/often.ts'
import { Problem } from './problem.ts'

/** How many tries a key has within a window of seconds. */
export interface Allowance {
  tries: number
  windowS: number
}

/** How far another process' clock may be ahead. A window that starts later than that was opened by a wrong one. */
const aheadMs = 60_000

/**
 * Counts one try for each key, in the database so that all processes count together. Nothing is counted for a key that
 * has used up its allowance. A window that begins in the future starts anew: a clock that was ahead once must not lock
 * anybody out until then.
 *
 * @param keys what is limited, e.g. "sign-in from 192.0.2.7"
 * @returns how many tries the fullest of the keys now has in its window
 * @throws Problem 429 with the seconds to wait when one of them has used up its allowance
 */
export async function countTry(db: Db, keys: string[], { tries, windowS }: Allowance, now: Date): Promise<number> {
  const before = beginOf({ tries, windowS }, now)
  const rows = await count(db, { keys, now, before, ahead: new Date(now.getTime() + aheadMs), tries })
  if (rows.length < keys.length) {
    const retryAfterS = await waitFor(db, keys, before, windowS)
    throw new Problem(429, 'Too many tries. Please wait a little.', { retryAfterS })
  }
  return Math.max(...rows.map((row) => row.tries))
}

/**
 * Counts one try within a short window and a long one, by one statement. What the short one refuses is not counted in the
 * long one.
 *
 * @returns the seconds to wait where an allowance is used up, and which
 */
export async function countTryTwice(
  db: Db,
  short: Allowance & { key: string },
  long: Allowance & { key: string },
  now: Date,
): Promise<{ usedUp: Allowance; retryAfterS: number } | null> {
  const ahead = new Date(now.getTime() + aheadMs)
  const [counted] = await countTwice(db, {
    now,
    ahead,
    short: short.key,
    shortBefore: beginOf(short, now),
    shortTries: short.tries,
    long: long.key,
    longBefore: beginOf(long, now),
    longTries: long.tries,
  })
  const usedUp = counted?.inShort ? (counted.inLong ? null : long) : short
  if (!usedUp) return null
  return { usedUp, retryAfterS: await waitFor(db, [usedUp.key], beginOf(usedUp, now), usedUp.windowS) }
}

/** Windows that began before that are over. */
const beginOf = ({ windowS }: Allowance, now: Date) => new Date(now.getTime() - windowS * 1000)

interface Counting {
  keys: string[]
  now: Date
  /** Windows that began before that are over, and those after `ahead` are of a wrong clock. */
  before: Date
  ahead: Date
  tries: number
}

const count = often(
  (_, { keys, ...rest }: Counting) =>
    sql<{ tries: number }>`${counted(sql`select key from unnest(${keys}::text[]) key`, rest)}`,
)

const countTwice = often((_, { now, ahead, ...windows }: CountingTwice) => {
  const { short, shortBefore, shortTries, long, longBefore, longTries } = windows
  const inShort = counted(sql`select ${short}::text as key`, { now, ahead, before: shortBefore, tries: shortTries })
  const unlessRefused = sql`select ${long}::text as key where exists (select from short)`
  const inLong = counted(unlessRefused, { now, ahead, before: longBefore, tries: longTries })
  return sql<{ inShort: boolean; inLong: boolean }>`
    with short as (${inShort}), long as (${inLong})
    select exists (select from short) as in_short, exists (select from long) as in_long`
})

interface CountingTwice extends Pick<Counting, 'now' | 'ahead'> {
  short: string
  shortBefore: Date
  shortTries: number
  long: string
  longBefore: Date
  longTries: number
}

/** Counts a try of each of these keys that has some left, and returns how many it now has. */
function counted(keys: RawBuilder<unknown>, { now, before, ahead, tries }: Omit<Counting, 'keys'>) {
  const isOver = sql`(attempt.window_start <= ${before} or attempt.window_start > ${ahead})`
  return sql`
    insert into attempt (key, window_start, tries) select key, ${now}::timestamptz, 1 from (${keys}) given
    on conflict (key) do update set tries = case when ${isOver} then 1 else attempt.tries + 1 end,
      window_start = case when ${isOver} then excluded.window_start else attempt.window_start end
    where ${isOver} or attempt.tries < ${tries}
    returning tries`
}

/** Seconds until the first of these keys has tries again. */
async function waitFor(db: Db, keys: string[], before: Date, windowS: number): Promise<number> {
  const rows = await db.selectFrom('attempt').select('windowStart').where('key', 'in', keys).execute()
  const latest = Math.max(...rows.map((row) => row.windowStart.getTime()))
  return Math.min(windowS, Math.max(1, Math.ceil((latest - before.getTime()) / 1000)))
}

/** Takes back one counted try of each key, since it came to nothing bad. */
export async function giveBackTry(db: Db, keys: string[]): Promise<void> {
  // In the order in which they were counted, so that two of these never wait for each other.
  for (const key of keys)
    await db
      .updateTable('attempt')
      .set({ tries: sql<number>`tries - 1` })
      .where('key', '=', key)
      .where('tries', '>', 0)
      .execute()
}

/** Forgets the tries of keys after they got it right. */
export async function clearTries(db: Db, ...keys: string[]): Promise<void> {
  for (const key of keys) await db.deleteFrom('attempt').where('key', '=', key).execute()
}

/** Forgets tries that no window counts any more, so that addresses are not kept for nothing. */
export async function forgetOldTries(db: Db, now: Date): Promise<void> {
  const dayMs = 86_400_000
  await db
    .deleteFrom('attempt')
    .where((eb) =>
      eb.or([
        eb('windowStart', '<', new Date(now.getTime() - dayMs)),
        eb('windowStart', '>', new Date(now.getTime() + dayMs)),
      ]),
    )
    .execute()
}

/**
 * From where somebody tries, as far as it makes sense to count: an IPv4 address, or the /64 network of an IPv6 one,
 * all of which one household or host usually has to itself.
 */
export function placeOf(address: string): string {
  const [plain = ''] = withoutPort(address).split('%')
  if (!ipaddr.isValid(plain)) return plain.slice(0, longestAddress)
  // An IPv4 address that is written as an IPv6 one is that IPv4 address.
  const place = ipaddr.process(plain)
  if (place.kind() === 'ipv4') return place.toString()
  return `${place.toNormalizedString().split(':').slice(0, 4).join(':')}::/64`
}

/** Some proxies name the port as well, which is another one for each connection. */
const withoutPort = (address: string) =>
  /^\[([^\]]*)\](?::\d+)?$/.exec(address)?.[1] ?? address.replace(/^([\d.]+):\d+$/, '$1')

/** No address is longer in writing. */
const longestAddress = 45
