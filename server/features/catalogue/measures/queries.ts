import { type ExpressionBuilder, sql } from 'kysely'
import { v7 } from 'uuid'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { jsonRows } from '../../../../db/json.ts'
import type { Tables } from '../../../../db/tables.ts'
import { expectMayChange } from '../../../http/access.ts'
import { notFound } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { holdRevisions } from '../revisions/queries.ts'
import type { KeptMeasure, Measure, NewMeasure } from './schema.ts'

/** What was measured: a revision as it was sculpted, or with one of its support sets. */
export interface Measured {
  fileId: string
  revisionId: string
  supportSetId: string | null
}

const columns = [
  ...(['measure.revisionId', 'measure.supportSetId', 'measure.sha256s', 'measure.widthMm', 'measure.depthMm'] as const),
  ...(['measure.heightMm', 'measure.volumeMl', 'measure.surfaceMm2', 'measure.overlapping', 'measure.shells'] as const),
  ...(['measure.openEdges', 'measure.nonManifoldEdges', 'measure.invertedShells', 'measure.widestLayerMm2'] as const),
  ...(['measure.widestLayerAtMm', 'measure.front', 'measure.side', 'measure.above', 'measure.midAir'] as const),
  ...(['measure.layerUm', 'measure.measuredBy', 'measure.measuredAt', 'member.name as measurer'] as const),
] as const

const measures = (db: Db) =>
  db
    .selectFrom('measure')
    .innerJoin('member', 'member.id', 'measure.measuredBy')
    .select([...columns])

type Row = Awaited<ReturnType<ReturnType<typeof measures>['executeTakeFirstOrThrow']>>

/** As out of JSON, where instants are texts. */
type RowInJson = Omit<Row, 'measuredAt'> & { measuredAt: string }

export const shownMeasure = ({ measuredBy, measurer, measuredAt, ...row }: Row | RowInJson): Measure => ({
  ...row,
  measuredBy: { id: measuredBy, name: measurer },
  measuredAt: new Date(measuredAt).toISOString(),
})

/** What was measured of each row of `file`. */
export const measuresOf = (eb: ExpressionBuilder<Tables, 'file'>) =>
  jsonRows(
    eb
      .selectFrom('measure')
      .innerJoin('revision', 'revision.id', 'measure.revisionId')
      .innerJoin('member', 'member.id', 'measure.measuredBy')
      .select([...columns])
      .whereRef('revision.fileId', '=', 'file.id')
      .orderBy('measure.id'),
  ).$castTo<RowInJson[]>()

/** @throws Problem 404 */
export async function measuredRevision(db: Db, id: string): Promise<Measured> {
  const row = await db.selectFrom('revision').select('fileId').where('id', '=', id).executeTakeFirst()
  if (!row) throw notFound('revision')
  return { fileId: row.fileId, revisionId: id, supportSetId: null }
}

/** @throws Problem 404 */
export async function measuredSupportSet(db: Db, id: string): Promise<Measured> {
  const row = await db
    .selectFrom('supportSet')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .select(['fileId', 'revisionId'])
    .where('supportSet.id', '=', id)
    .executeTakeFirst()
  if (!row) throw notFound('support set')
  return { ...row, supportSetId: id }
}

const measureOf = (db: Db, { revisionId, supportSetId }: Measured) =>
  measures(db)
    .where('revisionId', '=', revisionId)
    .where('supportSetId', 'is not distinct from', supportSetId)
    .executeTakeFirst()

/** What was measured of it; null while nobody has. */
export async function foundMeasure(db: Db, what: Measured): Promise<Measure | null> {
  const row = await measureOf(db, what)
  return row ? shownMeasure(row) : null
}

/** @throws Problem 404 */
export async function readMeasure(db: Db, what: Measured): Promise<Measure> {
  const found = await foundMeasure(db, what)
  if (!found) throw notFound('measure')
  return found
}

export const whoReplacesMeasures = 'A measure is replaced by whoever took it, or by a steward.'
const whoRemovesMeasures = 'A measure is removed by whoever took it, or by a steward.'

/**
 * Keeps a measure in the place of any earlier one, and fills what the file does not say yet: its height from the sculpt, its
 * resin from a supported one whose volume is certain. What was typed anybody replaces by what was measured.
 *
 * @throws Problem 403 for somebody else's measure, 404 for what is gone meanwhile
 */
export async function keepMeasure(db: Db, viewer: Viewer, what: Measured, measure: NewMeasure): Promise<KeptMeasure> {
  return inTransaction(db, async (trx) => {
    await holdRevisions(trx, what.fileId)
    await expectThere(trx, what)
    const before = await measureOf(trx, what)
    if (before && !(before.front === null && measure.front !== null))
      expectMayChange(viewer, before.measuredBy, whoReplacesMeasures)
    const { revisionId, supportSetId } = what
    const values = { ...inColumns(measure), measuredBy: viewer.id, measuredAt: sql<Date>`now()` }
    await trx
      .insertInto('measure')
      .values({ id: v7(), revisionId, supportSetId, ...values })
      .onConflict((conflict) => conflict.constraint('measure_once').doUpdateSet(values))
      .execute()
    const filled = await fillFile(trx, what, measure)
    return { ...(await readMeasure(trx, what)), filled }
  })
}

function inColumns({ front, side, above, midAir, ...rest }: NewMeasure) {
  const json = (value: object | null) => (value === null ? null : JSON.stringify(value))
  return { ...rest, front: json(front), side: json(side), above: json(above), midAir: json(midAir) } as const
}

/** A merge may have taken it since it was looked up. @param trx after `holdRevisions` @throws Problem 404 */
async function expectThere(trx: Db, { revisionId, supportSetId }: Measured): Promise<void> {
  const now = supportSetId ? await measuredSupportSet(trx, supportSetId) : await measuredRevision(trx, revisionId)
  if (now.revisionId !== revisionId) throw notFound('support set')
}

const mostHeightMm = 1000
const leastMl = 0.01

/** @returns the fields that were empty and are filled now */
async function fillFile(
  trx: Db,
  { fileId, supportSetId }: Measured,
  measure: NewMeasure,
): Promise<KeptMeasure['filled']> {
  const field = supportSetId === null ? 'heightMm' : 'resinMl'
  const found = supportSetId === null ? heightOf(measure) : resinOf(measure)
  if (found === null) return []
  const { numUpdatedRows } = await trx
    .updateTable('file')
    .set({ [field]: found, version: sql<number>`version + 1` })
    .where('id', '=', fileId)
    .where(field, 'is', null)
    .executeTakeFirst()
  return numUpdatedRows > 0n ? [field] : []
}

/** As a file has it: to a tenth of a mm, up to what a file may say. */
const heightOf = ({ heightMm }: NewMeasure) => (heightMm > mostHeightMm ? null : Math.round(10 * heightMm) / 10)

function resinOf({ volumeMl, overlapping }: NewMeasure): number | null {
  if (volumeMl === null || overlapping || volumeMl < leastMl) return null
  return Math.round(100 * volumeMl) / 100
}

/** @throws Problem 403, 404 */
export async function removeMeasure(db: Db, viewer: Viewer, what: Measured): Promise<void> {
  await inTransaction(db, async (trx) => {
    await holdRevisions(trx, what.fileId)
    const { measuredBy } = await readMeasure(trx, what)
    expectMayChange(viewer, measuredBy.id, whoRemovesMeasures)
    await trx
      .deleteFrom('measure')
      .where('revisionId', '=', what.revisionId)
      .where('supportSetId', 'is not distinct from', what.supportSetId)
      .execute()
  })
}
