import { type RawBuilder, sql } from 'kysely'
import type { Draws } from '../../scoring/draws.ts'
import { drawsOfNewLine, drawsOfNewSculptor, type GroupDraws } from '../../scoring/group-draws.ts'
import { unknown } from '../../scoring/labels.ts'
import { type LineEvidence, unknownShare } from '../../scoring/verdict.ts'
import { type Line, type LineOfSculptor, lineKey, sculptorKey } from './rules.ts'
import { storedDraws } from './storing.ts'

/** What the last fit keeps of a line; null where it knows none of its prints, or none of its sculptor's. */
export interface KeptLine extends LineOfSculptor {
  draws: Buffer | null
  sculptorDraws: Buffer | null
}

/** Joins what the fit keeps to rows that have the columns `file_id`, `sculptor_id` and `kind`. */
export const keptOfLine = (rows: string, fit: number | RawBuilder<number>): RawBuilder<unknown> => {
  const from = sql.raw(rows)
  return sql`
    left join line_draws on line_draws.file_id = ${from}.file_id and line_draws.kind = ${from}.kind
      and line_draws.fit = ${fit}
    left join sculptor_draws on sculptor_draws.sculptor_id = ${from}.sculptor_id and sculptor_draws.kind = ${from}.kind
      and sculptor_draws.fit = ${fit} and line_draws.fit is null`
}

/**
 * The success of a line: its own draws, or what its sculptor's other ones, or else any sculptor's, let expect. Lines of
 * which as little is known get the same draws, so that chance does not rank them.
 *
 * @param apart draws of its own for each, where several are counted together: lines that share a plate
 */
export function drawsOfLine(kept: KeptLine, group: GroupDraws, { apart = false } = {}): Draws {
  if (kept.draws) return storedDraws(kept.draws)
  const [sculptorName, lineName] = apart ? [sculptorKey(kept), lineKey(kept)] : []
  const sculptor = kept.sculptorDraws ? storedDraws(kept.sculptorDraws) : drawsOfNewSculptor(group, sculptorName)
  return drawsOfNewLine(group, sculptor, lineName)
}

/** So many of a support set's newest prints are enough to tell file and machine apart. */
const newest = 40

/**
 * As much of the prints of files as tells whether file and machine can be told apart, as a subquery with the columns
 * `file_id`, `kind` and `evidence`. Lines that can be, since somebody saw what was wrong with half of the failed copies, are
 * missing: their plates need not be read.
 */
export const lineRecords = (
  fileIds: RawBuilder<readonly string[]>,
): RawBuilder<Line & { evidence: LineEvidence }> => sql`(
    with own as (
      select wanted.id as file_id, its_set.kind, printed.*
      from unnest(${fileIds}) wanted (id)
      cross join lateral (
        -- By the index, file by file, however few revisions there are.
        select support_set.id, kind from revision join support_set on support_set.revision_id = revision.id
        where revision.file_id = wanted.id offset 0
      ) its_set
      cross join lateral (
        select print.id, plate_id, tried, good from print
        where support_set_id = its_set.id order by print.id desc limit ${sql.lit(newest)}
      ) printed
    ), failure as (
      select file_id, kind, seen, sum(copies) as copies
      from own cross join lateral (
        -- By the index, print by print: there are far fewer of them than PostgreSQL takes for likely.
        select seen, copies from print_failure where print_id = own.id offset 0
      ) told where good < tried group by 1, 2, 3
    ), suspect as (
      select file_id, kind, json_agg(json_build_object('seen', seen, 'copies', copies)) as failures
      from failure group by 1, 2
      having sum(copies) filter (where seen = ${sql.lit(unknown)}) > ${sql.lit(unknownShare)} * sum(copies)
    )
    select file_id, kind, json_build_object('failures', failures, 'copiesByPeriod', (
      select json_agg(period.copies) from (
        select sum(tried) as copies from own join plate on plate.id = own.plate_id
        where own.file_id = suspect.file_id and own.kind = suspect.kind group by plate.printer_period_id
      ) period
    )) as evidence
    from suspect
  )`
