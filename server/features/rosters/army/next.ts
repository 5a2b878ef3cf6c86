import { sql } from 'kysely'
import { army } from './queries.ts'
import { type NextRow, type NextStep, nextStep } from './rules.ts'

/** So many of the member's newest rosters are looked through. */
const mostRosters = 3

/**
 * What is next on each of the member's newest rosters, as one JSON value of a statement: the first entry of the list that
 * is not printed, or else not built, or else not painted; with models, plates and hours as the plan's printing list has them.
 */
export const nextRows = (memberId: string) => {
  const newest = sql`select id from roster where owner_id = ${memberId} order by id desc limit ${sql.lit(mostRosters)}`
  return sql<NextRow[]>`(
    select coalesce(json_agg(json_build_object(
      'rosterId', roster.id, 'roster', roster.name, 'unit', coalesce(unit.name, entry.words), 'toBuy', first.to_buy,
      'toPrint', first.to_print, 'printed', first.printed, 'built', first.built, 'painted', first.painted,
      'planned', listed.models, 'plates', listed.plates, 'hours', listed.hours
    ) order by roster.id desc), '[]')
    from (
      select distinct on (army.roster_id) army.*
      from ${army(newest)} army
      where to_buy + to_print > 0 or painted < printed
      order by army.roster_id, to_buy + to_print = 0, built = printed, place, entry_id
    ) first
    join roster_entry entry on entry.id = first.entry_id
    join roster on roster.id = entry.roster_id
    left join unit on unit.id = entry.unit_id
    left join roster_plan on roster_plan.roster_id = roster.id
    cross join lateral (
      select (select sum((one ->> 'models')::integer) from ${ofEntry('$.result.plan.entries')}) as models,
        case when bool_and(one #>> '{estimate,plates}' is not null) then sum((one #>> '{estimate,plates}')::integer) end as plates,
        case when bool_and(one #>> '{estimate,hours}' is not null) then sum((one #>> '{estimate,hours}')::float8) end as hours
      from ${ofEntry('$.prints')}
    ) listed
  )`
}

const ofEntry = (list: '$.prints' | '$.result.plan.entries') => sql`jsonb_path_query(
  outcome::jsonb, ${sql.lit(`${list}[*] ? (@.entryId == $id)`)}, jsonb_build_object('id', entry.id)
) as one`

/** The steps that the rows come to. */
export const nextSteps = (rows: readonly NextRow[]): NextStep[] => rows.map(nextStep)
