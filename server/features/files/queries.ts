import { sql } from 'kysely'
import { z } from 'zod'
import type { Db } from '../../../db/connect.ts'
import { isSteward } from '../../http/access.ts'
import { baseOf } from '../../http/base.ts'
import { wordsOf } from '../../http/fields.ts'
import { cutPage, type Page, readCursor } from '../../http/paging.ts'
import { notFound } from '../../http/problem.ts'
import type { Viewer } from '../../http/session.ts'
import { successOfFiles } from '../evidence/queries.ts'
import { offersOf } from '../offers/queries.ts'
import { revisionsOf } from '../revisions/queries.ts'
import { snagsOf } from '../snags/queries.ts'
import { fileHead } from './heads.ts'
import { discreet, sculptorColumns, shownSculptor } from './rules.ts'
import type { File, FileList, WholeFile } from './schema.ts'

const files = (db: Db) =>
  db
    .selectFrom('file')
    .innerJoin('sculptor', 'sculptor.id', 'file.sculptorId')
    .innerJoin('member', 'member.id', 'file.createdBy')
    .select(['file.id', 'file.title', 'file.scaleMm', 'baseShape', 'baseWidthMm', 'baseLengthMm', 'heightMm'])
    .select(['formats', 'options', 'styleTags', 'licence', 'resinMl', 'remark', 'file.createdBy', 'file.createdAt'])
    .select(['file.version', 'member.name as author', ...sculptorColumns])

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
  const { sculptorId: _id, sculptorName: _name, sculptorCredit: _credit, sculptorHosts: _hosts, ...facts } = row
  const { baseShape, baseWidthMm, baseLengthMm, createdBy, author, ...rest } = facts
  const mild = (words: string) => discreet(words, row, viewer)
  return {
    ...rest,
    title: mild(row.title),
    sculptor: shownSculptor(row, viewer),
    standsInFor: units.map((unit) => unit.id),
    units: units.map(({ id, name, setting, scaleMm }) => ({ id, name, setting, scaleMm })),
    base: baseOf({ baseShape, baseWidthMm, baseLengthMm }),
    options: row.options.map(mild),
    styleTags: row.styleTags.map(mild),
    licence: mild(row.licence),
    remark: mild(row.remark),
    createdBy: { id: createdBy, name: author },
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
    .$if(sculptorId !== undefined, (rows) => rows.where('sculptor.id', '=', sculptorId ?? ''))
    // An id that a member kept from before the sculptor asked not to be named must not list their files.
    .$if(sculptorId !== undefined && !isSteward(viewer), (rows) => rows.where('sculptor.credit', '=', 'named'))
  const words = wordsOf(q)
  if (words) return { items: await withUnits(db, viewer, await near(query, words, viewer, limit)), next: null }
  const rows = await query
    .$if(cursor !== undefined, (before) => before.where('file.id', '<', cursor?.[0] ?? ''))
    .orderBy('file.id', 'desc')
    .limit(limit + 1)
    .execute()
  const cut = cutPage(rows, limit, (row) => [row.id])
  return { items: await withUnits(db, viewer, cut.items), next: cut.next }
}

// The same likeness as for units (features/units/queries.ts).
const likeness = 0.35

/**
 * The files whose title, or whose sculptor, holds the words or comes near them. A sculptor who asked not to be named is
 * found by no member: not by name, and not by a title that has the name in it.
 */
function near(query: ReturnType<typeof files>, words: string, viewer: Viewer, limit: number) {
  const withSculptor = sql`file.search || ' / ' || plain(sculptor.name)`
  const name = sql`regexp_replace(plain(sculptor.name), '[^[:alnum:]]+', '[^[:alnum:]]*', 'g')`
  const bare = sql`regexp_replace(file.search, ${name}, ' ', 'g')`
  const found = isSteward(viewer)
    ? withSculptor
    : sql`case when sculptor.credit = 'named' then ${withSculptor} else ${bare} end`
  const nearness = sql<number>`word_similarity(plain(${words}), ${found})`
  const holds = sql<boolean>`strpos(${found}, plain(${words})) > 0`
  return query
    .where((eb) => eb.or([eb(nearness, '>=', likeness), holds]))
    .orderBy(holds, 'desc')
    .orderBy(nearness, 'desc')
    .orderBy('file.id', 'desc')
    .limit(limit)
    .execute()
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
