import { sql } from 'kysely'
import type { Db } from '../../../db/connect.ts'
import type { Shape } from '../../scoring/beta.ts'
import { currentFit } from './model.ts'
import type { ReportEvidence } from './report-evidence.ts'
import { evidence } from './reports.ts'
import { type Line, lineKey } from './rules.ts'

/**
 * The newest plates of printer periods with what was made of their failures, by period, the latest print first.
 *
 * @param most plates of each period
 */
export async function latestPlates(
  db: Db,
  periodIds: readonly string[],
  most: number,
): Promise<Map<string, ReportEvidence[]>> {
  if (periodIds.length === 0) return new Map()
  const { rows } = await sql<{ id: string }>`
    select latest.id
    from unnest(${periodIds}::uuid[]) period
    cross join lateral (
      select id, printed_on from report where printer_period_id = period order by printed_on desc, id desc limit ${most}
    ) latest
    order by latest.printed_on desc, latest.id desc`.execute(db)
  const ids = rows.map(({ id }) => id)
  const plates = await evidence(db).where('report.id', '=', sql<string>`any(${ids}::uuid[])`).execute()
  const place = new Map(ids.map((id, index) => [id, index]))
  const inOrder = plates.toSorted((one, other) => (place.get(one.id) ?? 0) - (place.get(other.id) ?? 0))
  return Map.groupBy(inOrder, ({ periodId }) => periodId)
}

/** The success of lines as one Beta each, by line; those without a row are missing. */
export async function lineShapes(db: Db, lines: readonly Line[]): Promise<Map<string, Shape>> {
  if (lines.length === 0) return new Map()
  const { rows } = await sql<Line & { shapeA: number; shapeB: number }>`
    select own.file_id, own.kind, own.shape_a, own.shape_b
    from (
      select distinct file_id, kind
      from unnest(${lines.map(({ fileId }) => fileId)}::uuid[], ${lines.map(({ kind }) => kind)}::text[]) given (file_id, kind)
    ) line
    join print_success own on own.file_id = line.file_id and own.kind = line.kind and own.fit = ${currentFit}`.execute(
    db,
  )
  return new Map(rows.map(({ shapeA, shapeB, ...line }) => [lineKey(line), [shapeA, shapeB]]))
}
