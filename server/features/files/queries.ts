import { sql } from 'kysely'
import { v7 } from 'uuid'
import { z } from 'zod'
import { type Db, inTransaction } from '../../../db/connect.ts'
import { uniqueViolation } from '../../../db/failures.ts'
import { isSteward, mayChange } from '../../http/access.ts'
import { baseColumns, baseOf } from '../../http/base.ts'
import { wordsOf } from '../../http/fields.ts'
import { cutPage, type Page, readCursor } from '../../http/paging.ts'
import { conflict, forbidden, notFound, Problem } from '../../http/problem.ts'
import type { Viewer } from '../../http/session.ts'
import { expectVersion } from '../../http/version.ts'
import { successOfFiles } from '../evidence/queries.ts'
import { addOfferTo, offersOf } from '../offers/queries.ts'
import { addRevision, revisionsOf } from '../revisions/queries.ts'
import { snagsOf } from '../snags/queries.ts'
import { expectKnown, fileHead } from './heads.ts'
import { discreet, sculptorColumns, shownSculptor } from './rules.ts'
import type { ChangedFile, File, FileList, NewFile, WholeFile } from './schema.ts'
import { sculptorCalled } from './sculptors.ts'

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
  const { sculptorId: _id, sculptorName: _name, sculptorCredit: _credit, createdBy, author, ...facts } = row
  const { baseShape, baseWidthMm, baseLengthMm, ...rest } = facts
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
  return lines.map(({ shape: _shape, ...line }) => line)
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

/**
 * Adds a file, with its sculptor where they are new, and with a first revision and an offer where they are given.
 *
 * @throws Problem 409 when it is here already, 422
 */
export async function addFile(db: Db, viewer: Viewer, body: NewFile, now = new Date()): Promise<WholeFile> {
  const { sculptor, standsInFor, base, revision, offer, ...columns } = body
  return inTransaction(db, async (trx) => {
    await expectKnown(trx, 'unit', standsInFor, '/standsInFor')
    await expectNewTitle(trx, viewer, columns.title)
    const id = v7()
    const sculptorId = await sculptorCalled(trx, sculptor)
    await trx
      .insertInto('file')
      .values({ id, ...columns, ...baseColumns(base), sculptorId, createdBy: viewer.id })
      .execute()
      .catch(refuseTwin)
    await standIn(trx, id, standsInFor)
    if (revision) await under('/revision', () => addRevision(trx, viewer, id, revision, now))
    if (offer) await under('/offer', () => addOfferTo(trx, viewer, id, offer, now))
    return readFile(trx, viewer, id)
  })
}

/** What is wrong with a part of the body is wrong at its place in the whole. */
async function under<T>(path: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work()
  } catch (error) {
    if (!(error instanceof Problem) || error.errors.length === 0) throw error
    const errors = error.errors.map((one) => ({ ...one, path: path + one.path }))
    throw new Problem(error.status, error.message, { errors })
  }
}

async function standIn(trx: Db, fileId: string, unitIds: string[]): Promise<void> {
  if (unitIds.length === 0) return
  await trx
    .insertInto('fileUnit')
    .values(unitIds.map((unitId) => ({ fileId, unitId })))
    .execute()
}

const sameTitle = () =>
  conflict('A file of this title is here already. If yours is another one, say in its title what tells them apart.')

function refuseTwin(error: unknown): never {
  if (uniqueViolation(error) === 'file_title') throw sameTitle()
  throw error
}

/**
 * The title of a file whose sculptor asked not to be named is taken for every sculptor. Otherwise a member could guess
 * names until the answer is "this one made it already".
 */
async function expectNewTitle(trx: Db, viewer: Viewer, title: string, fileId?: string): Promise<void> {
  if (isSteward(viewer)) return
  const twin = await trx
    .selectFrom('file')
    .innerJoin('sculptor', 'sculptor.id', 'file.sculptorId')
    .select('file.id')
    .where('credit', '=', 'unnamed')
    .where(sql<boolean>`plain(file.title) = plain(${title})`)
    .$if(fileId !== undefined, (query) => query.where('file.id', '<>', fileId ?? ''))
    .executeTakeFirst()
  if (twin) throw sameTitle()
}

/**
 * Changes a file: its author, or a steward.
 *
 * @param wanted the version that is meant to be changed, if the caller said one
 * @throws Problem 403, 404, 409 (the sculptor has another file of this title), 412, 422
 */
export async function changeFile(db: Db, viewer: Viewer, id: string, change: ChangedFile, wanted?: number) {
  const { sculptor, standsInFor, base, ...columns } = change
  return inTransaction(db, async (trx) => {
    const before = await fileToChange(trx, id)
    if (!mayChange(viewer, before.createdBy)) throw forbidden('A file is changed by whoever added it, or by a steward.')
    expectVersion(before.version, wanted)
    await expectKnown(trx, 'unit', standsInFor ?? [], '/standsInFor')
    const { title = before.title } = columns
    const sculptorId = sculptor ? await sculptorCalled(trx, sculptor) : before.sculptorId
    if (title !== before.title || sculptorId !== before.sculptorId) await expectNewTitle(trx, viewer, title, id)
    await trx
      .updateTable('file')
      .set({ ...columns, sculptorId, ...(base !== undefined && baseColumns(base)), version: sql<number>`version + 1` })
      .where('id', '=', id)
      .execute()
      .catch(refuseTwin)
    if (standsInFor) {
      await trx.deleteFrom('fileUnit').where('fileId', '=', id).execute()
      await standIn(trx, id, standsInFor)
    }
    return readFile(trx, viewer, id)
  })
}

/** Locks a file for a change. @throws Problem 404 */
async function fileToChange(trx: Db, id: string) {
  const row = await trx
    .selectFrom('file')
    .select(['title', 'sculptorId', 'createdBy', 'version'])
    .where('id', '=', id)
    .forUpdate()
    .executeTakeFirst()
  if (!row) throw notFound('file')
  return row
}
