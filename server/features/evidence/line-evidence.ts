import { sql } from 'kysely'
import { type Db, often } from '../../../db/connect.ts'
import type { SetEvidence } from '../../scoring/verdict.ts'
import { givenRows } from './rows.ts'
import { type Line, lineKey } from './rules.ts'

/** Of a line that nobody has printed. */
export const noEvidence: SetEvidence = { copiesByPeriod: [], failures: [] }

/** So many of a set's newest reports are enough to tell. */
const newest = 100

/**
 * Every line of the files with its copies by printer period and what was seen on the failed ones: as much as tells
 * whether file and printer can be told apart. Of each set of supports the newest reports are looked at.
 *
 * @returns by line; those that nobody has printed are missing
 */
export async function lineEvidence(db: Db, fileIds: readonly string[]): Promise<Map<string, SetEvidence>> {
  const { rows } = await sql<Line & SetEvidence>`
    with ${often} plate as (
      select revision.file_id, support_set.kind, report.id, report.printer_period_id, report.tried, report.good
      from ${givenRows('wanted', ['id', 'uuid', fileIds])}
      join revision on revision.file_id = wanted.id
      join support_set on support_set.revision_id = revision.id
      cross join lateral (
        select id, printer_period_id, tried, good from report
        where support_set_id = support_set.id order by id desc limit ${sql.lit(newest)}
      ) report
    ), copies as (
      select file_id, kind, printer_period_id, sum(tried) as copies from plate group by 1, 2, 3
    ), failure as (
      select file_id, kind, seen, sum(copies) as copies
      from plate join report_failure on report_failure.report_id = plate.id where good < tried group by 1, 2, 3
    )
    select file_id, kind, json_agg(copies) as copies_by_period,
      coalesce((
        select json_agg(json_build_object('seen', failure.seen, 'copies', failure.copies))
        from failure where failure.file_id = copies.file_id and failure.kind = copies.kind
      ), '[]') as failures
    from copies group by file_id, kind`.execute(db)
  return new Map(rows.map(({ copiesByPeriod, failures, ...line }) => [lineKey(line), { copiesByPeriod, failures }]))
}
