import { type ExpressionBuilder, sql } from 'kysely'
import { v7 } from 'uuid'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { jsonRows } from '../../../../db/json.ts'
import type { Tables } from '../../../../db/tables.ts'
import { expectMayChange } from '../../../http/access.ts'
import { notFound } from '../../../http/problem.ts'
import { changeRow, rowOf } from '../../../http/rows.ts'
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
  const row = await rowOf(db, 'revision', id, ['fileId'])
  return { fileId: row.fileId, revisionId: id, supportSetId: null }
}

/** @throws Problem 404 */
export async function measuredSupportSet(db: Db, id: string): Promise<Measured> {
  const row = await db
    .selectFrom('supportSet')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .select(['fileId', 'revisionId'])
    .where('supportSet.id', '=', id)
    .executeTakeFirstOrThrow(() => notFound('support set'))
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

export const whoReplacesMeasures = 'Only whoever took a measure, or a steward, can replace it.'
const whoRemovesMeasures = 'Only whoever took a measure, or a steward, can remove it.'

/**
 * Keeps a measure in the place of any earlier one, and fills what the file does not say yet: its height, and its resin where
 * the volume is certain. What was typed anybody replaces by what was measured.
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

type Filled = KeptMeasure['filled']

/**
 * What is measured with supports also replaces what the file has by a measure without them, since a file counts them in.
 *
 * @returns the fields that were filled
 */
async function fillFile(trx: Db, { fileId, supportSetId }: Measured, measure: NewMeasure): Promise<Filled> {
  const said = await trx.selectFrom('file').select(['heightMm', 'resinMl']).where('id', '=', fileId).executeTakeFirst()
  if (!said) return []
  const bare = supportSetId === null ? [] : await measuredBare(trx, fileId)
  const found = { heightMm: heightOf(measure), resinMl: resinOf(measure) }
  const isOpen = (field: Filled[number]) =>
    said[field] === null || bare.some((one) => said[field] === (field === 'heightMm' ? heightOf(one) : resinOf(one)))
  const filled = (['heightMm', 'resinMl'] as const).filter(
    (field) => found[field] !== null && found[field] !== said[field] && isOpen(field),
  )
  if (filled.length === 0) return []
  await changeRow(trx, 'file', fileId, Object.fromEntries(filled.map((field) => [field, found[field]])))
  return filled
}

const measuredBare = (trx: Db, fileId: string) =>
  trx
    .selectFrom('measure')
    .innerJoin('revision', 'revision.id', 'measure.revisionId')
    .select(['heightMm', 'volumeMl', 'overlapping'])
    .where('fileId', '=', fileId)
    .where('supportSetId', 'is', null)
    .execute()

type Filling = Pick<NewMeasure, 'heightMm' | 'volumeMl' | 'overlapping'>

/** As a file has it: to a tenth of a mm, up to what a file may say. */
const heightOf = ({ heightMm }: Filling) => (heightMm > mostHeightMm ? null : Math.round(10 * heightMm) / 10)

/** Of a file: to a hundredth of a ml; null where it is not certain. */
export function resinOf({ volumeMl, overlapping }: Filling): number | null {
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
