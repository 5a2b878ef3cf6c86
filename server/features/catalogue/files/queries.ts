import { sql } from 'kysely'
import { z } from 'zod'
import type { Db } from '../../../../db/connect.ts'
import { baseOf } from '../../../http/base.ts'
import { wordsOf } from '../../../http/fields.ts'
import { cutPage, type Page, readCursor } from '../../../http/paging.ts'
import { notFound } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { successOfFiles } from '../../evidence/queries.ts'
import { offersOf } from '../offers/queries.ts'
import { revisionsOf } from '../revisions/queries.ts'
import { shownWords, writerOf } from '../sculptors/own-words.ts'
import { knownTo } from '../sculptors/queries.ts'
import { snagsOf } from '../snags/queries.ts'
import { fileHead } from './heads.ts'
import { discreet, sculptorColumns, shownSculptor, shownTitle } from './rules.ts'
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

type Row = Awaited<ReturnType<ReturnType<typeof files>['executeTakeFirstOrThrow']>>
type UnitOf = Awaited<ReturnType<typeof unitsOf>>[number]

const unitsOf = (db: Db, fileIds: string[]) =>
  db
    .selectFrom('fileUnit')
    .innerJoin('unit', 'unit.id', 'fileUnit.unitId')
    .select(['fileUnit.fileId', 'unit.id', 'unit.name', 'unit.setting', 'unit.scaleMm'])
    .where('fileUnit.fileId', 'in', fileIds)
    .orderBy(sql`plain(unit.name)`)
    .orderBy('unit.id')
    .execute()

function shown(row: Row, units: UnitOf[], viewer: Viewer): File {
  const { id, scaleMm, heightMm, formats, resinMl, version } = row
  const mild = (field: 'licence' | 'remark') => discreet(row[field], row, viewer, writerOf(row, field))
  return {
    ...{ id, scaleMm, heightMm, formats, resinMl, version },
    title: shownTitle(row, viewer),
    sculptor: shownSculptor(row, viewer),
    standsInFor: units.map((unit) => unit.id),
    units: units.map(({ id, name, setting, scaleMm }) => ({ id, name, setting, scaleMm })),
    base: baseOf(row),
    options: shownWords(row, 'options', viewer),
    styleTags: shownWords(row, 'styleTags', viewer),
    licence: mild('licence'),
    remark: mild('remark'),
    createdBy: { id: row.createdBy, name: row.author },
    createdAt: row.createdAt.toISOString(),
  }
}

async function withUnits(db: Db, viewer: Viewer, rows: Row[]): Promise<File[]> {
  if (rows.length === 0) return []
  const units = Map.groupBy(
    await unitsOf(
      db,
      rows.map((row) => row.id),
    ),
    (unit) => unit.fileId,
  )
  return rows.map((row) => shown(row, units.get(row.id) ?? [], viewer))
}

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
    const near = await nearFiles(db, viewer, query, words)
    return { items: await withUnits(db, viewer, await near.limit(limit).execute()), next: null }
  }
  const rows = await query
    .$if(cursor !== undefined, (before) => before.where('file.id', '<', cursor?.[0] ?? ''))
    .orderBy('file.id', 'desc')
    .limit(limit + 1)
    .execute()
  const cut = cutPage(rows, limit, (row) => [row.id])
  return { items: await withUnits(db, viewer, cut.items), next: cut.next }
}

/** These files, as far as they exist, in no order. */
export async function filesById(db: Db, viewer: Viewer, ids: string[]): Promise<File[]> {
  if (ids.length === 0) return []
  return withUnits(db, viewer, await files(db).where('file.id', 'in', ids).execute())
}

/** A file with all that the group knows about it. @throws Problem 404 */
export async function readFile(db: Db, viewer: Viewer, id: string): Promise<WholeFile> {
  const [file] = await filesById(db, viewer, [id])
  if (!file) throw notFound('file')
  const head = await fileHead(db, id)
  return {
    ...file,
    revisions: await revisionsOf(db, viewer, head),
    offers: await offersOf(db, viewer, id),
    snags: await snagsOf(db, viewer, head),
    printSuccess: await printSuccessOf(db, id),
    inArchive: await isArchived(db, viewer, id),
  }
}

async function printSuccessOf(db: Db, id: string): Promise<WholeFile['printSuccess']> {
  const lines = (await successOfFiles(db, [id])).get(id) ?? []
  return lines.map(({ draws: _draws, ...line }) => line)
}

async function isArchived(db: Db, viewer: Viewer, fileId: string): Promise<boolean> {
  const row = await db
    .selectFrom('archive')
    .select('fileId')
    .where('memberId', '=', viewer.id)
    .where('fileId', '=', fileId)
    .executeTakeFirst()
  return row !== undefined
}
