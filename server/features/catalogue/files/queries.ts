import { type ExpressionBuilder, sql } from 'kysely'
import { z } from 'zod'
import type { Db } from '../../../../db/connect.ts'
import { jsonRows } from '../../../../db/json.ts'
import { often } from '../../../../db/often.ts'
import type { Tables } from '../../../../db/tables.ts'
import { baseOf } from '../../../http/base.ts'
import { faceOf } from '../../../http/face.ts'
import { wordsOf } from '../../../http/fields.ts'
import { cutPage, type Page, readCursor, shownPage } from '../../../http/paging.ts'
import { notFound } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { successOfFiles } from '../../evidence/queries.ts'
import { footPrintOf, shadowOf } from '../measures/drawn.ts'
import { measuresOf, shownMeasure } from '../measures/queries.ts'
import { offersOf } from '../offers/queries.ts'
import { revisionsOf } from '../revisions/queries.ts'
import { shownWords, writerOf } from '../sculptors/own-words.ts'
import { knownTo } from '../sculptors/queries.ts'
import { shownSnag, snagsOf } from '../snags/queries.ts'
import { discreet, sculptorColumns, shownFace, shownSculptor, shownTitle } from './rules.ts'
import type { File, FileList, WholeFile } from './schema.ts'
import { nearFiles } from './search.ts'

const files = (db: Db) =>
  db
    .selectFrom('file')
    .innerJoin('sculptor', 'sculptor.id', 'file.sculptorId')
    .innerJoin('member', 'member.id', 'file.createdBy')
    .select(['file.id', 'file.title', 'file.scaleMm', 'baseShape', 'baseWidthMm', 'baseLengthMm', 'heightMm'])
    .select(['formats', 'options', 'styleTags', 'licence', 'resinMl', 'remark', 'file.createdBy', 'file.createdAt'])
    .select(['file.version', 'file.othersWords', 'member.name as author', ...sculptorColumns])
    .select((eb) => jsonRows(unitsOf(eb)).as('units'))
    .select([shadowOf().as('shadow'), faceOf.as('face')])

type Row = Awaited<ReturnType<ReturnType<typeof files>['executeTakeFirstOrThrow']>>

const unitsOf = (eb: ExpressionBuilder<Tables, 'file'>) =>
  eb
    .selectFrom('fileUnit')
    .innerJoin('unit', 'unit.id', 'fileUnit.unitId')
    .select(['unit.id', 'unit.name', 'unit.setting', 'unit.scaleMm', 'unit.modelsPerUnit'])
    .select(['unit.baseShape', 'unit.baseWidthMm', 'unit.baseLengthMm'])
    .whereRef('fileUnit.fileId', '=', 'file.id')
    .orderBy(sql`plain(unit.name)`)
    .orderBy('unit.id')

function shown(row: Row, viewer: Viewer): File {
  const { id, scaleMm, heightMm, formats, resinMl, version, shadow } = row
  const units = row.units.map(shownUnit)
  const mild = (field: 'licence' | 'remark') => discreet(row[field], row, viewer, writerOf(row, field))
  return {
    id,
    scaleMm,
    heightMm,
    formats,
    resinMl,
    version,
    title: shownTitle(row, viewer),
    sculptor: shownSculptor(row, viewer),
    standsInFor: units.map((unit) => unit.id),
    units,
    base: baseOf(row),
    options: shownWords(row, 'options', viewer),
    styleTags: shownWords(row, 'styleTags', viewer),
    licence: mild('licence'),
    remark: mild('remark'),
    shadow,
    face: shownFace(row.face, row, viewer),
    createdBy: { id: row.createdBy, name: row.author },
    createdAt: row.createdAt.toISOString(),
  }
}

const shownUnit = ({ id, name, setting, scaleMm, modelsPerUnit, ...base }: Row['units'][number]) => ({
  id,
  name,
  setting,
  scaleMm,
  modelsPerUnit,
  base: baseOf(base),
})

/** A page of the files: newest first, or the nearest first when something is looked for. */
export async function listFiles(db: Db, viewer: Viewer, { limit, after, q, ...only }: FileList): Promise<Page<File>> {
  const cursor = readCursor(after, z.tuple([z.uuid()]))
  const { unitId, sculptorId } = only
  const query = files(db)
    .$if(unitId !== undefined, (rows) =>
      rows.where((eb) =>
        eb(
          'file.id',
          'in',
          eb
            .selectFrom('fileUnit')
            .select('fileUnit.fileId')
            .where('unitId', '=', unitId ?? ''),
        ),
      ),
    )
    // An id that a member kept from before the sculptor asked not to be named must not list their files.
    .$if(sculptorId !== undefined, (rows) => rows.where('sculptor.id', '=', sculptorId ?? '').where(knownTo(viewer)))
  const words = wordsOf(q)
  if (words) {
    const isNarrow = unitId !== undefined || sculptorId !== undefined
    const near = await nearFiles(db, viewer, query, { words, limit, isNarrow })
    return { items: (await near.execute()).map((row) => shown(row, viewer)), next: null }
  }
  const rows = await query
    .$if(cursor !== undefined, (before) => before.where('file.id', '<', cursor?.[0] ?? ''))
    .orderBy('file.id', 'desc')
    .limit(limit + 1)
    .execute()
  return shownPage(cutPage(rows, limit, 'id'), (row) => shown(row, viewer))
}

/** These files, as far as they exist, in no order. */
export async function filesById(db: Db, viewer: Viewer, ids: string[]): Promise<File[]> {
  if (ids.length === 0) return []
  const rows = await files(db).where('file.id', 'in', ids).execute()
  return rows.map((row) => shown(row, viewer))
}

/** These files and those that stand in for any of these units, each once, by id. */
export async function filesAmong(db: Db, viewer: Viewer, ids: readonly string[], unitIds: readonly string[]) {
  if (ids.length + unitIds.length === 0) return []
  const standIns = sql`array(select file_id from file_unit where unit_id = any(${unitIds}::uuid[]))`
  const rows = await files(db)
    .where(sql<boolean>`file.id = any(${ids}::uuid[] || ${standIns})`)
    .orderBy('file.id')
    .execute()
  return rows.map((row) => shown(row, viewer))
}

/** A file with all that the group knows about it. @throws Problem 404 */
export async function readFile(db: Db, viewer: Viewer, id: string): Promise<WholeFile> {
  const file = await writtenFile(db, viewer, id)
  const lines = (await successOfFiles(db, [id])).get(id) ?? []
  return { ...file, printSuccess: lines.map(({ draws: _draws, ...line }) => line) }
}

/** A file with all that somebody wrote down of it; what its prints came to is worked out (`successOfFiles`). @throws Problem 404 */
export async function writtenFile(db: Db, viewer: Viewer, id: string) {
  const [row] = await wholeFile(db, { id, viewerId: viewer.id })
  if (!row) throw notFound('file')
  return {
    ...shown(row, viewer),
    revisions: await revisionsOf(db, viewer, row),
    offers: await offersOf(db, viewer, id),
    snags: row.snags.map((snag) => shownSnag(snag, row, viewer)),
    measures: row.measures.map(shownMeasure),
    footPrint: row.footPrint,
    inArchive: row.inArchive,
  }
}

const wholeFile = often((db, { id, viewerId }: { id: string; viewerId: string }) =>
  files(db)
    .select((eb) => [
      jsonRows(snagsOf(eb)).as('snags'),
      measuresOf(eb).as('measures'),
      footPrintOf().as('footPrint'),
      eb.exists(archived(eb, viewerId)).$castTo<boolean>().as('inArchive'),
    ])
    .where('file.id', '=', id),
)

/** Whether each row of `file` is in this member's archive. */
export const archived = (eb: ExpressionBuilder<Tables, 'file'>, memberId: string | null) =>
  eb.selectFrom('archive').select('fileId').whereRef('archive.fileId', '=', 'file.id').where('memberId', '=', memberId)
