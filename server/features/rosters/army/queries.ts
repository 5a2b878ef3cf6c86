import { type RawBuilder, sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'
import { baseOf } from '../../../http/base.ts'
import { shadowOf } from '../../catalogue/measures/drawn.ts'
import type { FileFigure } from './figures.ts'

/** How far the models of an entry have come. */
export interface ArmyRow {
  entryId: string
  rosterId: string
  place: number
  toBuy: number
  toPrint: number
  printed: number
  built: number
  painted: number
}

/**
 * A row an entry: how many of its models are to buy, to print, printed, built and painted. Printed are the good and the
 * mended copies of the prints that count for it. What is left is to buy as far as the plan prints it from a file that the
 * owner does not have; without a plan for it, where the owner has none of the unit's files and nothing is printed yet.
 *
 * Worked out once for all that are joined to it: PostgreSQL would do it anew for each, where it takes a long list for a short
 * one, as the embedded database does until the night after the list was added.
 *
 * @param rosters a statement that selects the ids of the rosters
 */
export const army = (rosters: RawBuilder<unknown>) => sql<ArmyRow>`(
  with planned as materialized ${planned(rosters)}, army as materialized (
    select entry.id as entry_id, entry.roster_id, entry.place, got.to_buy, entry.models - done.printed - got.to_buy as to_print,
      done.printed, least(entry.built, done.printed) as built, least(entry.painted, entry.built, done.printed) as painted
    from roster_entry entry
    join roster on roster.id = entry.roster_id
    left join planned on planned.entry_id = entry.id
    cross join lateral (
      select least(entry.models, coalesce(sum(good + mended), 0))::integer as printed
      from roster_print join print on print.id = roster_print.print_id
      where roster_print.entry_id = entry.id
    ) done
    cross join lateral (
      select case
        when planned.entry_id is not null then least(entry.models - done.printed, planned.to_get)
        when done.printed > 0 or exists (
          select from file_unit join archive on archive.file_id = file_unit.file_id
          where file_unit.unit_id = entry.unit_id and archive.member_id = roster.owner_id
        ) then 0
        else entry.models - done.printed
      end as to_buy
    ) got
    where entry.roster_id in (${rosters})
  )
  select * from army
)`

/** By entry, how many models the plans print from files that the owners do not have yet. */
const planned = (rosters: RawBuilder<unknown>) => sql`(
  select chosen.entry_id, coalesce(sum(chosen.models) filter (where not owned.had), 0)::integer as to_get
  from roster_plan
  join roster on roster.id = roster_plan.roster_id
  cross join lateral (
    select ${idIn('entryId')} as entry_id, (one ->> 'models')::integer as models, ${idIn('fileId')} as file_id,
      ${idIn('offerId')} as offer_id
    from jsonb_path_query(outcome::jsonb, '$.result.plan.entries[*]') as one
  ) chosen
  cross join lateral (
    select exists (select from archive where member_id = roster.owner_id and file_id = chosen.file_id)
      or exists (select from offer where offer.id = chosen.offer_id and kind = 'free')
      or exists (select from roster_purchase bought
        where bought.member_id = roster.owner_id and bought.offer_id = chosen.offer_id and not bought.is_membership)
      or exists (select from running_membership running
        where running.member_id = roster.owner_id and running.offer_id = chosen.offer_id)
      or exists (select from roster_print
        join print on print.id = roster_print.print_id
        join support_set on support_set.id = print.support_set_id
        join revision on revision.id = support_set.revision_id
        where roster_print.entry_id = chosen.entry_id and revision.file_id = chosen.file_id) as had
  ) owned
  where roster_plan.roster_id in (${rosters})
  group by chosen.entry_id
)`

/** An id in the JSON of a plan; what is there already has a word in its place. */
const idIn = (field: 'entryId' | 'fileId' | 'offerId') =>
  sql`case when one ->> ${sql.lit(field)} ~ '^[0-9a-f-]{36}$' then (one ->> ${sql.lit(field)})::uuid end`

/** What these files are drawn by. */
export async function figuresOf(db: Db, fileIds: readonly string[]): Promise<(FileFigure & { id: string })[]> {
  if (fileIds.length === 0) return []
  const rows = await db
    .selectFrom('file')
    .select(['id', 'heightMm', 'scaleMm', 'baseShape', 'baseWidthMm', 'baseLengthMm', shadowOf().as('shadow')])
    .where('id', 'in', fileIds)
    .execute()
  return rows.map(({ id, heightMm, scaleMm, shadow, ...row }) => ({ id, heightMm, scaleMm, shadow, base: baseOf(row) }))
}
