import { type RawBuilder, sql } from 'kysely'
import type { NextStep } from '../../../../web/pages/Home.tsx'
import { army } from './queries.ts'
import { type NextRow, nextStep } from './rules.ts'

/** So many of the member's newest rosters are looked through. */
const mostRosters = 3

/**
 * What is next on each of the member's newest rosters, as one JSON value of a statement: an entry by the order of
 * `nextHere`, with models, plates and hours as the plan's printing list has them.
 */
export const nextRows = (memberId: RawBuilder<string>) => {
  const newest = sql`select id from roster where owner_id = ${memberId} order by id desc limit ${sql.lit(mostRosters)}`
  return sql<NextRow[]>`(
    select coalesce(json_agg(json_build_object(
      'rosterId', roster.id, 'roster', roster.name, 'unit', coalesce(unit.name, first.words), 'toBuy', first.to_buy,
      'toPrint', first.to_print, 'printed', first.printed, 'built', first.built, 'painted', first.painted,
      'planned', first.planned, 'plates', first.plates, 'hours', first.hours
    ) order by roster.id desc), '[]')
    from (
      select distinct on (army.roster_id) army.*, entry.unit_id, entry.words, listed.models as planned, listed.plates, listed.hours
      from ${army(newest)} army
      join roster_entry entry on entry.id = army.entry_id
      left join roster_plan on roster_plan.roster_id = army.roster_id
      cross join lateral (
        select (select sum((one ->> 'models')::integer) from ${ofEntry('$.result.plan.entries')}) as models,
          case when bool_and(one #>> '{estimate,plates}' is not null) then sum((one #>> '{estimate,plates}')::integer) end as plates,
          case when bool_and(one #>> '{estimate,hours}' is not null) then sum((one #>> '{estimate,hours}')::float8) end as hours
        from ${ofEntry('$.prints')}
      ) listed
      cross join lateral (
        select to_buy + to_print > 0 and exists (select from file_unit where file_unit.unit_id = entry.unit_id) as can_go_on
      ) known
      where can_go_on or army.painted < army.printed
      order by army.roster_id,
        case when can_go_on and listed.models is not null then 0 when can_go_on then 1 when army.built < army.printed then 2 else 3 end,
        army.place, army.entry_id
    ) first
    join roster on roster.id = first.roster_id
    left join unit on unit.id = first.unit_id
  )`
}

const ofEntry = (list: '$.prints' | '$.result.plan.entries') => sql`jsonb_path_query(
  outcome::jsonb, ${sql.lit(`${list}[*] ? (@.entryId == $id)`)}, jsonb_build_object('id', entry.id)
) as one`

/** The steps that the rows come to. */
export const nextSteps = (rows: readonly NextRow[]): NextStep[] => rows.map(nextStep)
