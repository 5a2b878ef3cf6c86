import { sql } from 'kysely'
import type { Db } from '../../../db/connect.ts'
import type { Neighbourhood, SetNode } from '../../scoring/neighbourhood.ts'
import type { ShownFigures } from './figures.ts'
import { type FitState, fitState, platesOf } from './model.ts'
import { type ReportEvidence, sitesOf } from './report-evidence.ts'
import { evidence } from './reports.ts'
import { groupKey, type Line, type LineOfSculptor, lineKey } from './rules.ts'

/** The piece of the model around some reports, locked; `lines` tells what the names of its sets stand for. */
export interface LockedNeighbourhood {
  neighbourhood: Neighbourhood
  lines: ReadonlyMap<string, LineOfSculptor & Partial<ShownFigures>>
  state: FitState
}

/**
 * So many failed plates of the line, and of the printer period, are looked at again when a report comes: the newest. What
 * has been made of the older ones stays as it is until the next full fit, so that a report takes the same time however
 * much is known already; their evidence counts all the same, since the totals hold it.
 */
export const nearest = 100

/** More reports than these at once (supports mended, upkeep noted late) leave what is around them to the next full fit. */
const fewReports = 20

/**
 * Loads what the reports touch (scoring/neighbourhood.ts says what that is) and locks its nodes until the transaction
 * ends: first the lines, then the printer periods, each by key, so that two of these never wait for each other in turn.
 * A failure's messages are only ever written under the locks of both its line and its period, so none is lost.
 *
 * The locks are `no key update`, since a plain `update` lock would wait for every transaction that has a report on the
 * same period in hand, and that one for this.
 *
 * @param reports left out of the sites: what is forgotten or learnt comes in by hand
 */
export async function lockNeighbourhood(trx: Db, reports: readonly ReportEvidence[]): Promise<LockedNeighbourhood> {
  const state = await fitState(trx)
  const lines = unique(reports, lineKey)
  const periodIds = [...new Set(reports.map(({ periodId }) => periodId))]
  const added = await addNodes(trx, state, lines, periodIds)
  const near = reports.length > fewReports ? [] : await failedNearby(trx, reports, lines, periodIds)
  const touched = [...lines, ...(await linesOfSculptors(trx, state, lines)), ...near]
  const sets = (await lockSets(trx, state, touched)).filter((set) => !added.has(lineKey(set)))
  const periods = await lockPeriods(trx, state, [...periodIds, ...near.map(({ periodId }) => periodId)])
  const known = { sets: new Set(sets.map(lineKey)), periods: new Set(periods.map(({ id }) => id)) }
  const neighbours = await sitesOfReports(
    trx,
    near.map(({ id }) => id),
  )
  return {
    neighbourhood: {
      hyper: state.hyper,
      plates: await platesOf(trx),
      supportSets: new Map(sets.map((set) => [lineKey(set), nodeOf(set)])),
      printerPeriods: new Map(periods.map(({ id, x, y }) => [id, { x, y }])),
      // A report that moved to another line or printer between the locks and now is left alone.
      sites: neighbours.filter((site) => known.sets.has(site.supportSet) && known.periods.has(site.printerPeriod)),
    },
    lines: new Map([...lines, ...sets].map((line) => [lineKey(line), line])),
    state,
  }
}

/** Of a line's row, what the next report is learnt on. */
const nodeOf = ({ x, y, priorA, priorB, ...line }: LineOfSculptor & Omit<SetNode, 'group'>): SetNode => ({
  ...{ x, y, priorA, priorB, group: groupKey(line) },
})

function unique<Item>(items: readonly Item[], keyOf: (item: Item) => string): Item[] {
  return [...new Map(items.map((item) => [keyOf(item), item])).values()]
}

/**
 * Rows for lines and periods that have none yet, so that they can be locked.
 *
 * @returns the added lines: nothing is known of them, their priors included
 */
async function addNodes(
  trx: Db,
  { fit }: FitState,
  lines: readonly Line[],
  periodIds: readonly string[],
): Promise<Set<string>> {
  const { rows } = await sql<Line>`
    with new_period as (
      insert into period_success (period_id, fit)
      select period, ${fit} from unnest(${periodIds}::uuid[]) period order by 1 on conflict do nothing
    )
    insert into print_success (file_id, kind, fit, prior_a, prior_b, shape_a, shape_b, plain_a, plain_b, mean, low, high, copies)
    select file_id, kind, ${fit}, 1, 1, 1, 1, 0, 0, 0.5, 0, 1, 0 from ${asRows(lines)} order by 1, 2
    on conflict do nothing
    returning file_id, kind`.execute(trx)
  return new Set(rows.map(lineKey))
}

/** Lines as rows of a query. Two lists tell the database how many there are, so that it plans for just these. */
const asRows = (lines: readonly Line[]) =>
  sql<Line>`unnest(${lines.map(({ fileId }) => fileId)}::uuid[], ${lines.map(({ kind }) => kind)}::text[]) as line (file_id, kind)`

/** A failed plate near the reports, and what it hangs on. */
interface Near extends Line {
  id: string
  periodId: string
}

/** The newest failed plates of the lines and of the periods, the given reports' own left out. */
async function failedNearby(
  trx: Db,
  reports: readonly ReportEvidence[],
  lines: readonly Line[],
  periodIds: readonly string[],
): Promise<Near[]> {
  const ids = reports.map(({ id }) => id)
  // A subquery for each set and each period, so that each reads no more of its index than it needs.
  const { rows } = await sql<Near>`
    select report.id, report.printer_period_id as period_id, revision.file_id, support_set.kind
    from (
      select newest.id
      from ${asRows(lines)}
      join revision on revision.file_id = line.file_id
      join support_set on support_set.revision_id = revision.id and support_set.kind = line.kind
      cross join lateral (
        select report.id from report where support_set_id = support_set.id and good < tried order by id desc limit ${nearest}
      ) newest
      union
      select newest.id
      from unnest(${periodIds}::uuid[]) period
      cross join lateral (
        select report.id from report where printer_period_id = period and good < tried order by id desc limit ${nearest}
      ) newest
    ) near
    join report on report.id = near.id
    join support_set on support_set.id = report.support_set_id
    join revision on revision.id = support_set.revision_id
    where report.id <> all(${ids}::uuid[])`.execute(trx)
  return rows
}

/** All lines of the lines' sculptors with the same kind of support that have a row. */
async function linesOfSculptors(trx: Db, { fit }: FitState, lines: readonly LineOfSculptor[]): Promise<Line[]> {
  const groups = unique(lines, groupKey)
  const { rows } = await sql<Line>`
    select own.file_id, own.kind
    from unnest(${groups.map(({ sculptorId }) => sculptorId)}::uuid[], ${groups.map(({ kind }) => kind)}::text[])
      as sculptors (sculptor_id, kind)
    join file on file.sculptor_id = sculptors.sculptor_id
    join print_success own on own.file_id = file.id and own.kind = sculptors.kind and own.fit = ${fit}`.execute(trx)
  return rows
}

type LockedLine = LineOfSculptor & Omit<SetNode, 'group'> & ShownFigures

async function lockSets(trx: Db, { fit }: FitState, lines: readonly Line[]): Promise<LockedLine[]> {
  const { rows } = await sql<LockedLine>`
    select own.file_id, own.kind, file.sculptor_id, own.x, own.y, own.prior_a, own.prior_b,
      own.shape_a, own.shape_b, own.plain_a, own.plain_b, own.mean, own.low, own.high
    from ${asRows(unique(lines, lineKey))}
    join print_success own on own.file_id = line.file_id and own.kind = line.kind and own.fit = ${fit}
    join file on file.id = own.file_id
    order by own.file_id, own.kind
    for no key update of own`.execute(trx)
  return rows
}

async function lockPeriods(trx: Db, { fit }: FitState, ids: readonly string[]) {
  return trx
    .selectFrom('periodSuccess')
    .select(['periodId as id', 'x', 'y'])
    .where('fit', '=', fit)
    .where('periodId', '=', sql<string>`any(${[...new Set(ids)]}::uuid[])`)
    .orderBy('periodId')
    .forNoKeyUpdate()
    .execute()
}

async function sitesOfReports(trx: Db, ids: readonly string[]) {
  if (ids.length === 0) return []
  const wanted = sql<string>`any(${ids}::uuid[])`
  return (await evidence(trx).where('report.id', '=', wanted).execute()).flatMap(sitesOf)
}
