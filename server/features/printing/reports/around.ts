import { sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'
import { often } from '../../../../db/often.ts'
import { notFound } from '../../../http/problem.ts'
import type { Line } from '../../evidence/queries.ts'

/** So many plates back is "lately". */
const lastPlates = 5

/** A line on one of the last plates. */
export interface LatePrint extends Line {
  plateId: string
  failed: boolean
}

export interface Around {
  /** the day of the first upkeep after the period; null while it lasts */
  upkeepSince: string | null
  /** what was on the last plates of the period up to this one */
  lately: LatePrint[]
  /** what other printers made of the lines that failed lately or on this plate */
  elsewhere: (Line & { tried: number; good: number })[]
  /** those of the plate's prints whose file has a later revision with supports of the same kind */
  outdated: string[]
}

/** What is known around a plate: of its printer between the same upkeeps, of other printers, of later revisions. */
export async function aroundPlate(db: Db, plateId: string): Promise<Around> {
  const [around] = await readAround(db, { plateId })
  if (!around) throw notFound('plate')
  return around
}

/** How many of a set's newest prints are read to tell how it does. */
const newestPrints = 50

const readAround = often(
  (_, { plateId }: { plateId: string }) => sql<Around>`
    with this as materialized (
      select id, printer_id, printer_period_id, printed_on from plate where id = ${plateId}
    ), late as materialized (
      select last.id from this cross join lateral (
        select id from plate
        where printer_period_id = this.printer_period_id and told and (printed_on, id) <= (this.printed_on, this.id)
        order by printed_on desc, id desc limit ${sql.lit(lastPlates)}
      ) last
    ), beside as materialized (
      select print.id, plate_id, print.good < print.tried as failed, file_id, kind, revision_id
      from print
      join support_set on support_set.id = print.support_set_id
      join revision on revision.id = support_set.revision_id
      where plate_id in (select id from late union select id from this)
    ), elsewhere as (
      select line.file_id, line.kind, sum(printed.tried) as tried, sum(printed.good) as good
      from (select distinct file_id, kind from beside where failed) line
      join revision on revision.file_id = line.file_id
      join support_set on support_set.revision_id = revision.id and support_set.kind = line.kind
      cross join lateral (
        select tried, good, plate_id from print
        where support_set_id = support_set.id order by id desc limit ${sql.lit(newestPrints)}
      ) printed
      join plate on plate.id = printed.plate_id
      where plate.printer_id <> (select printer_id from this)
      group by 1, 2
    )
    select (
      select min(next.starts_on)::text
      from printer_period period join printer_period next on next.printer_id = period.printer_id
        and (next.starts_on > period.starts_on or period.starts_on is null)
      where period.id = this.printer_period_id
    ) as upkeep_since, (
      select coalesce(json_agg(json_build_object('plateId', plate_id, 'fileId', file_id, 'kind', kind,
        'failed', failed)), '[]')
      from beside where plate_id in (select id from late)
    ) as lately, (
      select coalesce(json_agg(json_build_object('fileId', file_id, 'kind', kind, 'tried', tried, 'good', good)), '[]')
      from elsewhere
    ) as elsewhere, array(
      select beside.id from beside join revision own on own.id = beside.revision_id
      where plate_id = this.id and exists (
        select from revision later join support_set on support_set.revision_id = later.id
        where later.file_id = own.file_id and support_set.kind = beside.kind
          and (coalesce(later.released_on, '-infinity'), later.created_at, later.id)
            > (coalesce(own.released_on, '-infinity'), own.created_at, own.id)
      )
    ) as outdated
    from this`,
)
