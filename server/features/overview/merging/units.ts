import { sql } from 'kysely'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { conflict } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { expectChange, type Wanted } from '../../../http/version.ts'
import { unitAuthor } from '../../catalogue/units/queries.ts'
import { lockBoth, type Pair } from './locked.ts'

/** As many other names as a unit may have (catalogue/units/schema.ts). */
const mostAliases = 20

/**
 * Makes one unit of two that are the same: requests, entries of rosters and stand-ins go over to the one that stays, which
 * is found by the names of the other from then on. What the one that stays does not say is taken from the other.
 *
 * @throws Problem 404, 422 when there is no other
 */
export async function mergeUnits(db: Db, { from, into }: Pair): Promise<void> {
  await inTransaction(db, async (trx) => {
    await lockBoth(trx, 'unit', { from, into })
    await trx.updateTable('request').set({ unitId: into }).where('unitId', '=', from).execute()
    await sql`update roster set list_version = list_version + 1
      where id in (select roster_id from roster_entry where unit_id = ${from})`.execute(trx)
    await trx.updateTable('rosterEntry').set({ unitId: into }).where('unitId', '=', from).execute()
    await sql`insert into file_unit (file_id, unit_id) select file_id, ${into}::uuid from file_unit where unit_id = ${from}
      on conflict do nothing`.execute(trx)
    await takeNames(trx, { from, into })
    await takeFacts(trx, { from, into })
    await trx.deleteFrom('unit').where('id', '=', from).execute()
  })
}

/** The names of what goes become other names of what stays, as far as it may have so many. */
async function takeNames(trx: Db, { from, into }: Pair): Promise<void> {
  await sql`update unit set version = unit.version + 1, aliases = (
      select coalesce(array_agg(name order by place), '{}') from (
        select min(name) as name, min(place) as place from (
          select name, place from unnest(unit.aliases || old.name || old.aliases) with ordinality as all_names (name, place)
        ) given where plain(name) <> plain(unit.name) group by plain(name) order by min(place) limit ${mostAliases}
      ) kept)
    from unit old where unit.id = ${into} and old.id = ${from}`.execute(trx)
}

/** Base and box of the one that goes, where the other has none: rosters of its entries are measured against that box. */
async function takeFacts(trx: Db, { from, into }: Pair): Promise<void> {
  await sql`update unit set
      base_shape = coalesce(unit.base_shape, old.base_shape),
      base_width_mm = case when unit.base_shape is null then old.base_width_mm else unit.base_width_mm end,
      base_length_mm = case when unit.base_shape is null then old.base_length_mm else unit.base_length_mm end,
      retail_price_minor = coalesce(unit.retail_price_minor, old.retail_price_minor),
      retail_price_currency = coalesce(unit.retail_price_currency, old.retail_price_currency),
      models_per_unit = case when unit.retail_price_minor is null and old.retail_price_minor is not null
        then old.models_per_unit else unit.models_per_unit end
    from unit old where unit.id = ${into} and old.id = ${from}`.execute(trx)
}

/**
 * Removes a unit that was added by mistake: whoever added it, or a steward.
 *
 * @throws Problem 403, 404, 409 while anything refers to it, 412
 */
export async function removeUnit(db: Db, viewer: Viewer, id: string, wanted?: Wanted): Promise<void> {
  await inTransaction(db, async (trx) => {
    const { createdBy: ownerId, version } = await unitAuthor(trx, id)
    expectChange(viewer, { ownerId, version }, 'Only whoever added a unit, or a steward, can remove it.', wanted)
    await trx.selectFrom('unit').select('id').where('id', '=', id).forUpdate().execute()
    const { rows } = await sql<{ used: boolean }>`select exists (select from request where unit_id = ${id})
      or exists (select from roster_entry where unit_id = ${id})
      or exists (select from file_unit where unit_id = ${id}) as used`.execute(trx)
    if (rows[0]?.used) throw conflict('A request, a roster or a file needs this unit, so it stays.')
    await trx.deleteFrom('unit').where('id', '=', id).execute()
  })
}
