import { sql } from 'kysely'
import type { Db } from '../../../db/connect.ts'
import type { SupportKind } from '../../../db/tables.ts'
import type { Shape } from '../../scoring/beta.ts'
import type { Neighbourhood, SetNode, StoredSite } from '../../scoring/neighbourhood.ts'
import type { Hyper, Total } from '../../scoring/priors.ts'
import { matchedSuccess, type SculptorGrid, sculptorGrid } from '../../scoring/sculptor-grid.ts'
import { isEvident } from '../../scoring/sculptors.ts'
import { copiesOf, successOnGrid } from '../../scoring/success.ts'
import { groupKey, type LineOfSculptor, lineKey } from './rules.ts'
import { recordsOf } from './success.ts'

/*
 * What has been learnt goes back in one statement a table, as a JSON text that the database takes apart: both drivers
 * send that alike, and it has no limit on rows. JSON keeps every digit of a double.
 */

/** A line's row of print_success. */
export interface StoredSuccess extends Total, ShownFigures {
  fileId: string
  kind: SupportKind
  priorA: number
  priorB: number
  copies: number
}

/** What is shown of a line: the nearest Beta, and mean and interval of the law itself. */
export interface ShownFigures {
  shapeA: number
  shapeB: number
  mean: number
  low: number
  high: number
}

/** What rounding leaves behind where evidence was taken back; a line without reports must say 0 copies. */
const rounding = 1e-9
const dustless = (value: number) => (Math.abs(value) < rounding ? 0 : value)
const withoutDust = ({ x, y }: Total): Total => ({ x: dustless(x), y: dustless(y) })

/**
 * Keeps what is not as it was: lines with their figures for show, printer periods, failures' messages.
 *
 * @param lines what the names of the sets stand for
 */
export async function keepChanges(
  trx: Db,
  lines: ReadonlyMap<string, LineOfSculptor & Partial<ShownFigures>>,
  before: Neighbourhood,
  after: Neighbourhood,
): Promise<void> {
  const changed = [...after.supportSets].filter(([name, set]) => before.supportSets.get(name) !== set)
  const changedLines = changed.flatMap(
    ([name, set]) => ({ ...lines.get(name), ...set }) as LineOfSculptor & SetNode & Partial<ShownFigures>,
  )
  await keepSuccesses(trx, await shown(trx, changedLines, after))
  const periods = [...after.printerPeriods].filter(([name, total]) => before.printerPeriods.get(name) !== total)
  await keepPeriods(
    trx,
    periods.map(([id, { x, y }]) => ({ id, x, y })),
  )
  const old = new Set(before.sites)
  await keepMessages(
    trx,
    after.sites.filter((site) => !old.has(site)),
  )
}

/** Changed lines with their figures for show, which want the totals of their sculptors' other lines too. */
async function shown(
  trx: Db,
  changed: readonly (LineOfSculptor & SetNode & Partial<ShownFigures>)[],
  { supportSets, hyper }: Neighbourhood,
): Promise<StoredSuccess[]> {
  const records = await recordsOf(trx, changed)
  return [...Map.groupBy(changed, groupKey)].flatMap(([group, lines]) => {
    const totals = (records.get(group) ?? []).map((line) => supportSets.get(lineKey(line)) ?? line)
    return successRows(lines, totals, hyper)
  })
}

type LineNode = LineOfSculptor & Total & { priorA: number; priorB: number } & Partial<ShownFigures>

/**
 * Lines of one sculptor with one kind of support as they are stored.
 *
 * @param lines with the figures shown so far, if they may stay where they are still right
 * @param totals of all of these lines of the sculptor's, the given ones included
 */
export function successRows(lines: readonly LineNode[], totals: readonly Total[], hyper: Hyper): StoredSuccess[] {
  const grid = sculptorGrid(totals.map(withoutDust).filter(isEvident), hyper)
  return lines.map(({ fileId, kind, priorA, priorB, ...line }) => {
    const total = withoutDust(line)
    const figures = stillRight(line, matchedSuccess(grid, total)) ?? freshFigures(grid, total)
    return { fileId, kind, ...total, priorA, priorB, ...figures, copies: copiesOf(total) }
  })
}

function freshFigures(grid: SculptorGrid, total: Total): ShownFigures {
  const { shape, mean, low, high } = successOnGrid(grid, total)
  return { shapeA: shape[0], shapeB: shape[1], mean, low, high }
}

/**
 * The figures shown so far where the law has hardly moved since: by less than 0.05 copies of 100 in the mean, and half a
 * percent in the evidence. A report nudges dozens of lines by thousandths of a copy, and the ends of an interval take
 * longer to find than all the rest of its transaction.
 */
function stillRight(
  { shapeA, shapeB, mean, low, high }: Partial<ShownFigures>,
  [a, b]: Shape,
): ShownFigures | undefined {
  if (shapeA === undefined || shapeB === undefined) return undefined
  if (mean === undefined || low === undefined || high === undefined) return undefined
  const hasMoved = Math.abs(a / (a + b) - mean) > 0.0005 || Math.abs((a + b) / (shapeA + shapeB) - 1) > 0.005
  return hasMoved ? undefined : { shapeA, shapeB, mean, low, high }
}

/** Writes lines, whether they had a row or not. */
export async function keepSuccesses(trx: Db, rows: readonly StoredSuccess[]): Promise<void> {
  if (rows.length === 0) return
  await sql`
    insert into print_success
      (file_id, kind, x, y, prior_a, prior_b, shape_a, shape_b, mean, low, high, copies)
    select "fileId", kind, x, y, "priorA", "priorB", "shapeA", "shapeB", mean, low, high, copies
    from json_to_recordset(${JSON.stringify(rows)}::json) as given ("fileId" uuid, kind text, x float8, y float8,
      "priorA" float8, "priorB" float8, "shapeA" float8, "shapeB" float8, mean float8, low float8, high float8, copies float8)
    on conflict (file_id, kind) do update set x = excluded.x, y = excluded.y, prior_a = excluded.prior_a,
      prior_b = excluded.prior_b, shape_a = excluded.shape_a, shape_b = excluded.shape_b, mean = excluded.mean, low = excluded.low, high = excluded.high,
      copies = excluded.copies, updated_at = clock_timestamp()`.execute(trx)
}

/** Writes the totals of printer periods. */
export async function keepPeriods(trx: Db, rows: readonly ({ id: string } & Total)[]): Promise<void> {
  if (rows.length === 0) return
  const totals = rows.map((row) => ({ id: row.id, ...withoutDust(row) }))
  await sql`
    update printer_period set x = given.x, y = given.y
    from json_to_recordset(${JSON.stringify(totals)}::json) as given (id uuid, x float8, y float8)
    where printer_period.id = given.id and (printer_period.x, printer_period.y) <> (given.x, given.y)`.execute(trx)
}

/** What the failed copies of one report that looked alike are taken for. */
export type StoredMessage = Pick<StoredSite, 'reportId' | 'seen' | 'message'>

export async function keepMessages(trx: Db, sites: readonly StoredMessage[]): Promise<void> {
  if (sites.length === 0) return
  const rows = sites.map(({ reportId, seen, message }) => ({ id: reportId, seen, message }))
  await sql`
    update report_failure set messages = given.message
    from json_to_recordset(${JSON.stringify(rows)}::json) as given (id uuid, seen text, message float8[])
    where report_failure.report_id = given.id and report_failure.seen = given.seen
      and report_failure.messages is distinct from given.message`.execute(trx)
}

/** Writes what reports are worth to the file side, where that is new. */
export async function keepFileWeights(trx: Db, rows: readonly { id: string; fileWeight: number }[]): Promise<void> {
  if (rows.length === 0) return
  const weights = rows.map(({ id, fileWeight }) => ({ id, fileWeight }))
  await sql`
    update report set file_weight = given."fileWeight"
    from json_to_recordset(${JSON.stringify(weights)}::json) as given (id uuid, "fileWeight" float8)
    where report.id = given.id and report.file_weight <> given."fileWeight"`.execute(trx)
}
