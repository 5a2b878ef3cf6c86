import { sql } from 'kysely'
import { convertMinor } from '../../../http/money.ts'

/** What a currency was worth on a day: the newest rate by then, else the first that was ever seen. Both name a column. */
export const rateOn = (currency: string, day: string) => sql<number | null>`(
  select worth from rate where rate.currency = ${sql.ref(currency)}
  order by rate.seen_on <= ${sql.ref(day)} desc, abs(rate.seen_on - ${sql.ref(day)}) limit 1
)`

/** A sum in another currency at its rate, in minor units; undefined without any rate. */
export function worthOf(sum: { minor: number; currency: string; rate: number | null }, currency: string) {
  if (sum.currency === currency) return sum.minor
  return sum.rate === null ? undefined : convertMinor(sum.minor, sum.currency, currency, sum.rate)
}
