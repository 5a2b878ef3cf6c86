import type { Db } from '../../../db/connect.ts'

/** What one unit of each foreign currency is worth in the group's own now: the newest rate of each counts. */
export async function ratesNow(db: Db): Promise<Map<string, number>> {
  const rows = await db
    .selectFrom('rate')
    .distinctOn('currency')
    .select(['currency', 'worth'])
    .orderBy('currency')
    .orderBy('seenOn', 'desc')
    .execute()
  return new Map(rows.map(({ currency, worth }) => [currency, worth]))
}
