import { sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'
import { often } from '../../../../db/often.ts'
import type { SupportKind } from '../../../../db/tables.ts'
import { notFound } from '../../../http/problem.ts'
import { supportSetAges } from '../../evidence/ages.ts'
import type { Line } from '../../evidence/queries.ts'

/** So many plates back is "lately". */
const lastPlates = 5

/** A line on one of the last plates. */
export interface LatePrint extends Line {
  plateId: string
  failed: boolean
}

export interface Around {
  periodId: string
  /** the day of the first upkeep after the period; null while it lasts */
  upkeepSince: string | null
  /** what was on the last plates of the period up to this one */
  lately: LatePrint[]
}

/** In one question: what came off the same printer between the same upkeeps, and whether it had upkeep since. */
export async function aroundPlate(db: Db, plateId: string): Promise<Around> {
  const [around] = await readAround(db, { plateId })
  if (!around) throw notFound('plate')
  return around
}

const readAround = often(
  (_, { plateId }: { plateId: string }) => sql<Around>`
    select this.printer_period_id as period_id, (
      select min(next.starts_on)::text
      from printer_period period join printer_period next on next.printer_id = period.printer_id
        and (next.starts_on > period.starts_on or period.starts_on is null)
      where period.id = this.printer_period_id
    ) as upkeep_since, (
      select coalesce(json_agg(json_build_object('plateId', late.id, 'fileId', revision.file_id,
        'kind', support_set.kind, 'failed', print.good < print.tried)), '[]')
      from (
        select id from plate
        where printer_period_id = this.printer_period_id and told and (printed_on, id) <= (this.printed_on, this.id)
        order by printed_on desc, id desc limit ${sql.lit(lastPlates)}
      ) late
      join print on print.plate_id = late.id
      join support_set on support_set.id = print.support_set_id
      join revision on revision.id = support_set.revision_id
    ) as lately
    from plate this where this.id = ${plateId}`,
)

/** So many of a set's newest prints tell how it does. */
const newestPrints = 50

/** What other printers made of these lines, by the newest prints of each of their sets. */
export const printedElsewhere = (db: Db, periodId: string, lines: readonly Line[]) =>
  readElsewhere(db, { periodId, files: lines.map(({ fileId }) => fileId), kinds: lines.map(({ kind }) => kind) })

const readElsewhere = often(
  (_, { periodId, files, kinds }: { periodId: string; files: string[]; kinds: string[] }) => sql<
    Line & { tried: number; good: number }
  >`
    select line.file_id, line.kind, sum(printed.tried) as tried, sum(printed.good) as good
    from unnest(${files}::uuid[], ${kinds}::text[]) line (file_id, kind)
    join revision on revision.file_id = line.file_id
    join support_set on support_set.revision_id = revision.id and support_set.kind = line.kind
    cross join lateral (
      select tried, good, printer_id from print join plate on plate.id = print.plate_id
      where support_set_id = support_set.id order by print.id desc limit ${sql.lit(newestPrints)}
    ) printed
    where printed.printer_id <> (select printer_id from printer_period where id = ${periodId})
    group by 1, 2`,
)

/** Whether there is a later revision with supports of the same kind. */
export async function hasNewerRevision(db: Db, set: { id: string; fileId: string; kind: SupportKind }) {
  const [row] = await lagOf(db, set)
  return row !== undefined && row.lag > 0
}

const lagOf = often((db, { id, fileId }: { id: string; fileId: string; kind: SupportKind }) =>
  db
    .selectFrom(supportSetAges(db, [fileId]).as('age'))
    .select('lag')
    .where('supportSetId', '=', id),
)
