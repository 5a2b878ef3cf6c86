import { sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'
import type { Pair } from './locked.ts'

/**
 * The offers of both are offers of the one that stays. Two that lead to the same place, or give it away without saying
 * where, are one: its prices so far come together, and what members paid counts once.
 */
export async function mergeOffers(trx: Db, { from, into }: Pair): Promise<void> {
  const alone = (file: string) => sql`(select offer.* from offer join offer_file on offer_file.offer_id = offer.id
    where offer_file.file_id = ${file}
      and not exists (select from offer_file other where other.offer_id = offer.id and other.file_id <> ${file}))`
  const twins = sql`(select distinct on (old.id) old.id as old_id, kept.id as kept_id
    from ${alone(from)} old join ${alone(into)} kept on kept.kind = old.kind and kept.url is not distinct from old.url
      and (old.url is not null or old.kind = 'free')
    where old.kind in ('purchase', 'free') order by old.id, kept.id)`
  const { rows } = await sql<{ oldId: string; keptId: string }>`select old_id, kept_id from ${twins} twin`.execute(trx)
  for (const { oldId, keptId } of rows) await mergeOffer(trx, oldId, keptId)
  await sql`delete from offer_file where file_id = ${from}
    and offer_id in (select offer_id from offer_file where file_id = ${into})`.execute(trx)
  await trx.updateTable('offerFile').set({ fileId: into }).where('fileId', '=', from).execute()
}

/** A file has a handful of offers at most, so they are merged one after another. */
async function mergeOffer(trx: Db, old: string, kept: string): Promise<void> {
  await sql`update offer set version = offer.version + 1, price_minor = old.price_minor,
      price_currency = old.price_currency, state = old.state, seen_on = old.seen_on
    from offer old where offer.id = ${kept} and old.id = ${old} and old.seen_on > offer.seen_on`.execute(trx)
  await trx.updateTable('offerPrice').set({ offerId: kept }).where('offerId', '=', old).execute()
  await sql`delete from roster_purchase where offer_id = ${old}
    and member_id in (select member_id from roster_purchase where offer_id = ${kept})`.execute(trx)
  await trx.updateTable('rosterPurchase').set({ offerId: kept }).where('offerId', '=', old).execute()
  await sql`delete from roster_plan where instance::text like ${`%${old}%`}`.execute(trx)
  await trx.deleteFrom('offer').where('id', '=', old).execute()
}
