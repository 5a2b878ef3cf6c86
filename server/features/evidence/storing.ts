import { type RawBuilder, sql } from 'kysely'
import { type Db, often } from '../../../db/connect.ts'
import type { Told } from '../../scoring/cases.ts'
import type { Neighbourhood, SetNode, StoredSite } from '../../scoring/neighbourhood.ts'
import type { Hyper, Total } from '../../scoring/priors.ts'
import {
  isStillRight,
  type ShownFigures,
  type StoredSuccess,
  successRows,
  withFigures,
  withoutDust,
} from './figures.ts'
import { groupKey, type LineOfSculptor, lineKey } from './rules.ts'
import { recordsOf } from './success.ts'
import { type StoredCases, storedCases, toldOf } from './told.ts'

/*
 * What has been learnt goes back in one statement a table, as a JSON text that the database takes apart: both drivers
 * send that alike, and it has no limit on rows. JSON keeps every digit of a double. Everything here is told the number of
 * the full fit whose rows are meant.
 */

/** What the figures of a neighbourhood's lines want besides. */
interface Around {
  /** what the names of the sets stand for, with what is shown of them so far */
  lines: ReadonlyMap<string, LineOfSculptor & Partial<ShownFigures> & StoredCases>
  /** groups all of whose lines are in the neighbourhood */
  groups: ReadonlySet<string>
  fit: number
}

type ShownLine = LineOfSculptor & SetNode & Told & Partial<ShownFigures>

/**
 * Keeps what is not as it was: lines with their figures for show, printer periods, failures' messages.
 *
 * @param besides another statement that is to be executed with these
 */
export async function keepChanges(
  trx: Db,
  { lines, groups, fit }: Around,
  before: Neighbourhood,
  after: Neighbourhood,
  besides?: RawBuilder<unknown>,
): Promise<void> {
  const changed = [...after.supportSets].filter(([name, set]) => before.supportSets.get(name) !== set)
  const periods = [...after.printerPeriods].filter(([name, total]) => before.printerPeriods.get(name) !== total)
  const old = new Set(before.sites)
  const supportSets = new Map(
    Array.from(after.supportSets, ([name, set]) => [name, toldOf(set, lines.get(name)?.cases)] as const),
  )
  const changedLines = changed.map(([name]) => ({ ...lines.get(name), ...supportSets.get(name) }) as ShownLine)
  const successes = await shown(trx, changedLines, groups, { supportSets, hyper: after.hyper })
  await sql`
    with ${often} period as (${periodsKept(
      fit,
      periods.map(([id, { x, y }]) => ({ id, x, y })),
    )}), message as (${messagesKept(
      fit,
      after.sites.filter((site) => !old.has(site)),
    )}) ${besides ? sql`, besides as (${besides})` : sql``} ${successesKept(
      fit,
      successes.map(({ cases: _, ...row }) => row),
    )}`.execute(trx)
}

/**
 * Changed lines with their figures for show. Those that have hardly moved keep what they have; the others want the totals
 * of their sculptors' other lines too.
 */
async function shown(
  trx: Db,
  changed: readonly ShownLine[],
  known: ReadonlySet<string>,
  { supportSets, hyper }: { supportSets: ReadonlyMap<string, SetNode & Told>; hyper: Hyper },
): Promise<StoredSuccess[]> {
  const rows: StoredSuccess[] = []
  const moved: ShownLine[] = []
  for (const line of changed) {
    const figures = figuresOf(line)
    if (figures && isStillRight(line, figures)) rows.push(withFigures(line, figures))
    else moved.push(line)
  }
  const records = await recordsOf(
    trx,
    moved.filter((line) => !known.has(groupKey(line))),
  )
  for (const [group, lines] of Map.groupBy(moved, groupKey)) {
    const totals = known.has(group)
      ? [...supportSets.values()].filter((set) => set.group === group)
      : (records.get(group) ?? []).map((line) => supportSets.get(lineKey(line)) ?? line)
    rows.push(...successRows(lines, totals, hyper))
  }
  return rows
}

function figuresOf(line: Partial<ShownFigures>): ShownFigures | undefined {
  const { shapeA, shapeB, mean, low, high, plainA, plainB } = line
  if (shapeA === undefined || shapeB === undefined || plainA === undefined || plainB === undefined) return undefined
  if (mean === undefined || low === undefined || high === undefined) return undefined
  return { shapeA, shapeB, mean, low, high, plainA, plainB }
}

/** Writes lines of a full fit, with the cases that only a full fit finds. */
export async function keepSuccesses(trx: Db, fit: number, rows: readonly StoredSuccess[]): Promise<void> {
  const withCases = rows.map((row) => ({ ...row, cases: storedCases(row) }))
  if (rows.length > 0) await successesKept(fit, withCases).execute(trx)
}

/** A line that is there keeps its cases: what came since shifts them (told.ts). */
const successesKept = (fit: number, rows: readonly (Omit<StoredSuccess, 'cases'> & StoredCases)[]) => sql`
    insert into print_success
      (file_id, kind, fit, x, y, prior_a, prior_b, shape_a, shape_b, plain_a, plain_b, mean, low, high, copies, cases)
    select "fileId", kind, ${fit}, x, y, "priorA", "priorB", "shapeA", "shapeB", "plainA", "plainB", mean, low, high, copies, cases
    from json_to_recordset(${JSON.stringify(rows)}::json) as given ("fileId" uuid, kind text, x float8, y float8,
      "priorA" float8, "priorB" float8, "shapeA" float8, "shapeB" float8, "plainA" float8, "plainB" float8,
      mean float8, low float8, high float8, copies float8, cases float8[])
    on conflict (file_id, kind, fit) do update set x = excluded.x, y = excluded.y, prior_a = excluded.prior_a,
      prior_b = excluded.prior_b, shape_a = excluded.shape_a, shape_b = excluded.shape_b,
      plain_a = excluded.plain_a, plain_b = excluded.plain_b, mean = excluded.mean, low = excluded.low, high = excluded.high, copies = excluded.copies, updated_at = clock_timestamp()`

/** Writes the totals of printer periods of a full fit, with their cases. */
export async function keepPeriods(trx: Db, fit: number, rows: readonly ({ id: string } & Told)[]): Promise<void> {
  const withCases = rows.map((row) => ({ ...row, cases: storedCases(row) }))
  if (rows.length > 0) await periodsKept(fit, withCases).execute(trx)
}

function periodsKept(fit: number, rows: readonly ({ id: string } & Total & StoredCases)[]) {
  const totals = rows.map(({ id, cases, ...total }) => ({ id, cases, ...withoutDust(total) }))
  return sql`
    insert into period_success (period_id, fit, x, y, cases)
    select id, ${fit}, x, y, cases
    from json_to_recordset(${JSON.stringify(totals)}::json) as given (id uuid, x float8, y float8, cases float8[])
    on conflict (period_id, fit) do update set x = excluded.x, y = excluded.y`
}

/** What the failed copies of one report that looked alike are taken for. */
export type StoredMessage = Pick<StoredSite, 'reportId' | 'seen' | 'message'>

export async function keepMessages(trx: Db, fit: number, sites: readonly StoredMessage[]): Promise<void> {
  if (sites.length > 0) await messagesKept(fit, sites).execute(trx)
}

function messagesKept(fit: number, sites: readonly StoredMessage[]) {
  const rows = sites.map(({ reportId, seen, message }) => ({ id: reportId, seen, message }))
  return sql`
    insert into failure_message (report_id, seen, fit, message)
    select id, seen, ${fit}, message
    from json_to_recordset(${JSON.stringify(rows)}::json) as given (id uuid, seen text, message float8[])
    on conflict (report_id, seen, fit) do update set message = excluded.message`
}

/** Drops what was made of reports that are taken back. */
export async function dropMessages(trx: Db, fit: number, reportIds: readonly string[]): Promise<void> {
  if (reportIds.length === 0) return
  await trx.deleteFrom('failureMessage').where('reportId', 'in', reportIds).where('fit', '=', fit).execute()
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
