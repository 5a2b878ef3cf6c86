import type { Db } from '../../../db/connect.ts'
import type { Neighbourhood, SetNode } from '../../scoring/neighbourhood.ts'
import { hyperOf, platesOf } from './model.ts'
import { evidence, type ReportEvidence, sitesOf } from './reports.ts'
import { groupKey, type Line, type LineOfSculptor, lineKey } from './rules.ts'
import type { ShownFigures } from './storing.ts'

/** The piece of the model around some reports, locked; `lines` tells what the names of its sets stand for. */
export interface LockedNeighbourhood {
  neighbourhood: Neighbourhood
  lines: ReadonlyMap<string, LineOfSculptor & Partial<ShownFigures>>
}

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
  const lines = unique(reports, lineKey)
  const periodIds = [...new Set(reports.map(({ periodId }) => periodId))]
  const added = await addLines(trx, lines)
  const sets = (await lockSets(trx, lines, periodIds)).filter((set) => !added.has(lineKey(set)))
  const periods = await lockPeriods(trx, lines, periodIds)
  const known = { sets: new Set(sets.map(lineKey)), periods: new Set(periods.map(({ id }) => id)) }
  const neighbours = await sitesAround(trx, reports, lines, periodIds)
  return {
    neighbourhood: {
      hyper: await hyperOf(trx),
      plates: await platesOf(trx),
      supportSets: new Map(sets.map((set) => [lineKey(set), nodeOf(set)])),
      printerPeriods: new Map(periods.map(({ id, x, y }) => [id, { x, y }])),
      // A failure that came in between the locks and now is left alone: its own transaction visits it, or the next.
      sites: neighbours.filter((site) => known.sets.has(site.supportSet) && known.periods.has(site.printerPeriod)),
    },
    lines: new Map([...lines, ...sets].map((line) => [lineKey(line), line])),
  }
}

/** Of a line's row, what the next report is learnt on. */
const nodeOf = ({ x, y, priorA, priorB, ...line }: LineOfSculptor & Omit<SetNode, 'group'>): SetNode => ({
  ...{ x, y, priorA, priorB, group: groupKey(line) },
})

function unique<Item>(items: readonly Item[], keyOf: (item: Item) => string): Item[] {
  return [...new Map(items.map((item) => [keyOf(item), item])).values()]
}

/** Rows for lines that have none yet, so that they can be locked. @returns the added ones: nothing is known of them */
async function addLines(trx: Db, lines: readonly Line[]): Promise<Set<string>> {
  const nothing = { priorA: 1, priorB: 1, shapeA: 1, shapeB: 1, mean: 0.5, low: 0, high: 1, copies: 0 }
  const rows = lines.map(({ fileId, kind }) => ({ fileId, kind, ...nothing }))
  rows.sort((one, other) => (lineKey(one) < lineKey(other) ? -1 : 1))
  const added = await trx
    .insertInto('printSuccess')
    .values(rows)
    .onConflict((conflict) => conflict.columns(['fileId', 'kind']).doNothing())
    .returning(['fileId', 'kind'])
    .execute()
  return new Set(added.map(lineKey))
}

/** Failed reports with their line. Each end has an index of its own, so callers ask by one of them, never by either. */
const failed = (trx: Db) =>
  trx
    .selectFrom('report')
    .innerJoin('supportSet', 'supportSet.id', 'report.supportSetId')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .whereRef('report.good', '<', 'report.tried')

const failedOn = (trx: Db, periodIds: readonly string[]) => failed(trx).where('report.printerPeriodId', 'in', periodIds)

const failedOf = (trx: Db, lines: readonly Line[]) =>
  failed(trx).where((eb) =>
    eb(
      eb.refTuple('revision.fileId', 'supportSet.kind'),
      'in',
      lines.map(({ fileId, kind }) => eb.tuple(fileId, kind)),
    ),
  )

/** The lines, all lines of their sculptors with the same kind of support, and those that failed on the same periods. */
async function lockSets(trx: Db, lines: readonly LineOfSculptor[], periodIds: readonly string[]) {
  const ofSculptors = trx
    .selectFrom('file')
    .innerJoin('printSuccess as own', 'own.fileId', 'file.id')
    .select(['own.fileId', 'own.kind'])
    .where((eb) =>
      eb(
        eb.refTuple('file.sculptorId', 'own.kind'),
        'in',
        lines.map(({ sculptorId, kind }) => eb.tuple(sculptorId, kind)),
      ),
    )
  const touched = ofSculptors.union(failedOn(trx, periodIds).select(['revision.fileId', 'supportSet.kind']))
  return trx
    .selectFrom('printSuccess')
    .innerJoin('file', 'file.id', 'printSuccess.fileId')
    .select(['printSuccess.fileId', 'printSuccess.kind', 'file.sculptorId'])
    .select(['printSuccess.x', 'printSuccess.y', 'printSuccess.priorA', 'printSuccess.priorB'])
    .select(['printSuccess.shapeA', 'printSuccess.shapeB', 'printSuccess.mean'])
    .select(['printSuccess.low', 'printSuccess.high'])
    .where((eb) =>
      eb(eb.refTuple('printSuccess.fileId', 'printSuccess.kind'), 'in', touched.$asTuple('fileId', 'kind')),
    )
    .orderBy('printSuccess.fileId')
    .orderBy('printSuccess.kind')
    .forNoKeyUpdate('printSuccess')
    .execute()
}

/** The periods, and those on which the lines failed. */
async function lockPeriods(trx: Db, lines: readonly Line[], periodIds: readonly string[]) {
  const touched = failedOf(trx, lines).select('report.printerPeriodId')
  return trx
    .selectFrom('printerPeriod')
    .select(['id', 'x', 'y'])
    .where((eb) => eb.or([eb('id', 'in', periodIds), eb('id', 'in', touched)]))
    .orderBy('id')
    .forNoKeyUpdate()
    .execute()
}

/** The failures on the lines and on the periods, the given reports' own left out. */
async function sitesAround(
  trx: Db,
  reports: readonly ReportEvidence[],
  lines: readonly Line[],
  periodIds: readonly string[],
) {
  const ids = reports.map(({ id }) => id)
  const near = failedOn(trx, periodIds).select('report.id').union(failedOf(trx, lines).select('report.id'))
  const around = await evidence(trx).where('report.id', 'in', near).where('report.id', 'not in', ids).execute()
  return around.flatMap(sitesOf)
}
