import { sql } from 'kysely'
import { type Db, often } from '../../../db/connect.ts'
import type { Changes, Neighbourhood, SetNode, StoredSite } from '../../scoring/neighbourhood.ts'
import type { ShownFigures } from './figures.ts'
import { learningState } from './joining.ts'
import type { FitState } from './model.ts'
import { asMessage, type ReportEvidence } from './report-evidence.ts'
import { givenRows } from './rows.ts'
import { groupKey, type Line, type LineOfSculptor, lineKey } from './rules.ts'
import type { StoredCases } from './told.ts'

/** A report, by where it belongs. */
export type Placed = LineOfSculptor & Pick<ReportEvidence, 'id' | 'periodId'>

/** The piece of the model around some reports, locked; `lines` tells what the names of its sets stand for. */
export interface LockedNeighbourhood {
  neighbourhood: Neighbourhood
  lines: ReadonlyMap<string, LineOfSculptor & Partial<ShownFigures> & StoredCases>
  /** the reports' sculptors with their kinds of support: all of their lines are there */
  groups: ReadonlySet<string>
  state: FitState
}

/**
 * So many failed plates of the line, and of the printer period, are looked at again when a report comes: the newest. What
 * has been made of the older ones stays as it is until the next full fit, so that a report takes the same time however
 * much is known already; their evidence counts all the same, since the totals hold it. Of 150 reports among a million,
 * 149 moved their line by less than .02 and their printer by less than .08 standard deviations from where looking at a
 * hundred would have moved them.
 */
export const nearest = 12

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
export async function lockNeighbourhood(trx: Db, reports: readonly Placed[]): Promise<LockedNeighbourhood> {
  const state = await learningState(trx)
  const lines = unique(reports, lineKey)
  const periodIds = [...new Set(reports.map(({ periodId }) => periodId))]
  const { added, near, ofSculptors } = await lookAround(trx, state, reports, lines, periodIds)
  const locked = await lockNodes(
    trx,
    state,
    [...lines, ...ofSculptors, ...near],
    [...periodIds, ...near.map(({ periodId }) => periodId)],
  )
  const sets = locked.lines.filter((set) => !added.has(lineKey(set)))
  const known = { sets: new Set(sets.map(lineKey)), periods: new Set(locked.periods.map(({ id }) => id)) }
  const neighbours = await sitesNear(trx, state, near)
  return {
    neighbourhood: {
      hyper: state.hyper,
      plates: state.plates,
      supportSets: new Map(sets.map((set) => [lineKey(set), nodeOf(set)])),
      printerPeriods: new Map(locked.periods.map(({ id, x, y }) => [id, { x, y }])),
      // A report that moved to another line or printer between the locks and now is left alone.
      sites: neighbours.filter((site) => known.sets.has(site.supportSet) && known.periods.has(site.printerPeriod)),
    },
    lines: new Map([...lines, ...sets].map((line) => [lineKey(line), line])),
    groups: new Set(lines.map(groupKey)),
    state,
  }
}

/** A neighbourhood after what has been learnt. @param forgotten a report that is gone */
export function changed(state: Neighbourhood, changes: Changes, forgotten?: string): Neighbourhood {
  const keyOf = (site: StoredSite) => `${site.reportId} ${site.seen}`
  const kept = state.sites.filter((site) => site.reportId !== forgotten)
  const sites = new Map([...kept, ...changes.sites].map((site) => [keyOf(site), site]))
  return {
    ...state,
    supportSets: new Map([...state.supportSets, ...changes.supportSets]),
    printerPeriods: new Map([...state.printerPeriods, ...changes.printerPeriods]),
    sites: [...sites.values()],
  }
}

/** Of a line's row, what the next report is learnt on. */
const nodeOf = ({ x, y, priorA, priorB, ...line }: LineOfSculptor & Omit<SetNode, 'group'>): SetNode => ({
  ...{ x, y, priorA, priorB, group: groupKey(line) },
})

function unique<Item>(items: readonly Item[], keyOf: (item: Item) => string): Item[] {
  return [...new Map(items.map((item) => [keyOf(item), item])).values()]
}

/** Lines as rows of a query. */
const asRows = (lines: readonly Line[]) =>
  givenRows(
    'line',
    ['file_id', 'uuid', lines.map(({ fileId }) => fileId)],
    ['kind', 'text', lines.map(({ kind }) => kind)],
  )

/** A failed plate near the reports, and what it hangs on. */
interface Near extends Line {
  id: string
  supportSetId: string
  periodId: string
}

interface Around {
  /** lines that had no row yet: nothing is known of them, their priors included */
  added: ReadonlySet<string>
  /** the newest failed plates of the lines and of the periods, the given reports' own left out */
  near: Near[]
  /** all lines of the lines' sculptors with the same kind of support that have a row */
  ofSculptors: Line[]
}

type Found = Line & ({ what: 'added' | 'sculptor' } | ({ what: 'near' } & Near))

/**
 * Makes rows for lines and periods that have none yet, so that they can be locked, and finds what else has to be. Of each
 * set and each period no more of the index is read than is needed.
 */
async function lookAround(
  trx: Db,
  { fit }: FitState,
  reports: readonly Placed[],
  lines: readonly LineOfSculptor[],
  periodIds: readonly string[],
): Promise<Around> {
  const most = reports.length > fewReports ? 0 : nearest
  const groups = unique(lines, groupKey)
  const asPeriods = givenRows('period', ['id', 'uuid', periodIds])
  const asSculptors = givenRows(
    'sculptors',
    ['sculptor_id', 'uuid', groups.map(({ sculptorId }) => sculptorId)],
    ['kind', 'text', groups.map(({ kind }) => kind)],
  )
  const { rows } = await sql<Found>`
    with ${often} new_period as (
      insert into period_success (period_id, fit)
      select id, ${fit} from ${asPeriods} order by 1 on conflict do nothing
    ), added as (
      insert into print_success (file_id, kind, fit, prior_a, prior_b, shape_a, shape_b, plain_a, plain_b, mean, low, high, copies)
      select file_id, kind, ${fit}, 1, 1, 1, 1, 0, 0, 0.5, 0, 1, 0 from ${asRows(lines)} order by 1, 2
      on conflict do nothing returning file_id, kind
    ), near as (
      select newest.id
      from ${asRows(lines)}
      join revision on revision.file_id = line.file_id
      join support_set on support_set.revision_id = revision.id and support_set.kind = line.kind
      cross join lateral (
        select report.id from report where support_set_id = support_set.id and good < tried order by id desc limit ${sql.lit(most)}
      ) newest
      union
      select newest.id
      from ${asPeriods}
      cross join lateral (
        select report.id from report where printer_period_id = period.id and good < tried order by id desc limit ${sql.lit(most)}
      ) newest
    )
    select 'added' as what, file_id, kind, null::uuid as id, null::uuid as support_set_id, null::uuid as period_id from added
    union all
    select 'sculptor', own.file_id, own.kind, null, null, null
    from ${asSculptors}
    join file on file.sculptor_id = sculptors.sculptor_id
    join print_success own on own.file_id = file.id and own.kind = sculptors.kind and own.fit = ${fit}
    union all
    select 'near', revision.file_id, support_set.kind, report.id, report.support_set_id, report.printer_period_id
    from near
    join report on report.id = near.id
    join support_set on support_set.id = report.support_set_id
    join revision on revision.id = support_set.revision_id
    where report.id <> all(${reports.map(({ id }) => id)}::uuid[])`.execute(trx)
  return {
    added: new Set(rows.flatMap((row) => (row.what === 'added' ? [lineKey(row)] : []))),
    near: rows.flatMap((row) => (row.what === 'near' ? [row] : [])),
    ofSculptors: rows.filter(({ what }) => what === 'sculptor'),
  }
}

type LockedLine = LineOfSculptor & Omit<SetNode, 'group'> & ShownFigures & StoredCases
type LockedPeriod = { periodId: string; x: number; y: number }

/** Locks the lines and then the periods, each in their order. */
async function lockNodes(trx: Db, { fit }: FitState, lines: readonly Line[], periodIds: readonly string[]) {
  const { rows } = await sql<LockedLine | LockedPeriod>`
    with ${often} line_locked as (
      select own.file_id, own.kind, file.sculptor_id, own.x, own.y, own.prior_a, own.prior_b,
        own.shape_a, own.shape_b, own.plain_a, own.plain_b, own.mean, own.low, own.high, own.cases
      from ${asRows(unique(lines, lineKey))}
      join print_success own on own.file_id = line.file_id and own.kind = line.kind and own.fit = ${fit}
      join file on file.id = own.file_id
      order by own.file_id, own.kind
      for no key update of own
    ), period_locked as (
      select period_id, x, y from period_success
      where fit = ${fit} and period_id = any(${[...new Set(periodIds)]}::uuid[])
      order by period_id
      for no key update
    )
    select null::uuid as period_id, * from line_locked
    union all
    select period_id, null, null, null, x, y, null, null, null, null, null, null, null, null, null, null from period_locked`.execute(
    trx,
  )
  return {
    lines: rows.flatMap((row) => (isPeriod(row) ? [] : [row])),
    periods: rows.flatMap((row) => (isPeriod(row) ? [{ id: row.periodId, x: row.x, y: row.y }] : [])),
  }
}

const isPeriod = (row: LockedLine | LockedPeriod): row is LockedPeriod => 'periodId' in row && row.periodId !== null

type SiteRow = Omit<StoredSite, 'supportSet' | 'message'> & { supportSetId: string; message: number[] }

/**
 * The failures of these reports. Left out are those that have moved to other supports since they were found, and those
 * that this fit has not learnt yet: it comes to them by themselves.
 */
async function sitesNear(trx: Db, { fit }: FitState, near: readonly Near[]): Promise<StoredSite[]> {
  if (near.length === 0) return []
  const { rows } = await sql<SiteRow>`
    select ${often} report.id as report_id, failure.seen, failure.copies, report.tried, report.file_weight,
      coalesce(share.weight, 1) * coalesce(standing.weight, 1) as member_weight, report.support_set_id,
      report.printer_period_id as printer_period, report.crowding, made.message
    from unnest(${near.map(({ id }) => id)}::uuid[], ${near.map(({ fileId }) => fileId)}::uuid[],
      ${near.map(({ kind }) => kind)}::text[]) near (id, file_id, kind)
    join report on report.id = near.id
    join report_failure failure on failure.report_id = report.id
    join failure_message made on made.report_id = report.id and made.seen = failure.seen and made.fit = ${fit}
    left join member_share share on share.member_id = report.member_id and share.file_id = near.file_id
      and share.kind = near.kind and share.period_id = report.printer_period_id and share.fit = ${fit}
    left join member_standing standing on standing.member_id = report.member_id and standing.fit = ${fit}
    order by report.id, failure.seen`.execute(trx)
  const lineOf = new Map(near.map((report) => [report.supportSetId, lineKey(report)]))
  return rows.flatMap(({ supportSetId, message, ...site }) => {
    const supportSet = lineOf.get(supportSetId)
    return supportSet === undefined ? [] : [{ ...site, supportSet, message: asMessage(message) }]
  })
}
