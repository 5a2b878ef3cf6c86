import { sql } from 'kysely'
import { z } from 'zod'
import type { Db } from '../../../../db/connect.ts'
import { often } from '../../../../db/often.ts'
import { baseOf } from '../../../http/base.ts'
import { sizesOf } from '../../../http/face.ts'
import { type Asked, cutPage, readCursor, shownPage } from '../../../http/paging.ts'
import { notFound } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { sculptorColumns, shownAlt, shownTitle } from '../../catalogue/files/rules.ts'
import type { Picture } from './schema.ts'

/** Pictures that belong to a file, with whom and what they show. */
export const pictures = (db: Db) =>
  db
    .selectFrom('picture')
    .innerJoin('file', 'file.id', 'picture.fileId')
    .innerJoin('sculptor', 'sculptor.id', 'file.sculptorId')
    .innerJoin('member', 'member.id', 'picture.memberId')
    .select(['picture.id', 'picture.memberId', 'member.name as member', 'picture.printId', 'file.id as fileId'])
    .select(['hash', 'width', 'height', 'wholeHash', 'wholeWidth', 'wholeHeight', 'crop', 'picture.base', 'alt'])
    .select(['picture.createdAt', 'picture.version', 'file.title', 'file.faceId', ...sculptorColumns])

type Columns = Awaited<ReturnType<ReturnType<typeof pictures>['executeTakeFirstOrThrow']>>
/** Within another row an instant is a text. */
type Row = Omit<Columns, 'createdAt'> & { createdAt: Date | string }

/** A picture as the viewer may see it: its words may tell of a sculptor who asked not to be named. */
export function shownPicture(row: Row, viewer: Viewer): Picture {
  const whole = { hash: row.wholeHash, width: row.wholeWidth, height: row.wholeHeight }
  return {
    id: row.id,
    file: { id: row.fileId, title: shownTitle(row, viewer) },
    reportId: row.printId,
    member: { id: row.memberId, name: row.member },
    alt: shownAlt(row, row, viewer),
    ...sizesOf(row),
    whole: sizesOf(whole).large,
    crop: row.crop,
    base: row.base,
    isFace: row.faceId === row.id,
    createdAt: new Date(row.createdAt).toISOString(),
    version: row.version,
  }
}

/** @throws Problem 404 */
export async function readPicture(db: Db, viewer: Viewer, id: string): Promise<Picture> {
  const row = await pictures(db).where('picture.id', '=', id).executeTakeFirst()
  if (!row) throw notFound('picture')
  return shownPicture(row, viewer)
}

/** A page of a file's pictures, the newest first. */
export async function picturesOfFile(db: Db, viewer: Viewer, { fileId, limit, after }: Asked & { fileId: string }) {
  const [before] = readCursor(after, z.tuple([z.uuid()])) ?? []
  const rows = await someOfFile(db, { fileId, before, most: limit + 1 })
  return shownPage(cutPage(rows, limit, 'id'), (row) => shownPicture(row, viewer))
}

/** So many are shown on the page of a file. */
const mostShown = 24

/** The newest pictures of a file, as a query. */
export const newestOfFile = (db: Db, fileId: string) =>
  pictures(db).where('picture.fileId', '=', fileId).orderBy('picture.id', 'desc').limit(sql.lit(mostShown))

interface Some {
  fileId: string
  before: string | undefined
  most: number
}

const someOfFile = often((db, { fileId, before, most }: Some) =>
  pictures(db)
    .where('picture.fileId', '=', fileId)
    .$if(before !== undefined, (query) => query.where('picture.id', '<', before ?? ''))
    .orderBy('picture.id', 'desc')
    .limit(most),
)

/** Those of a plate's prints, in the order in which they came. */
export async function picturesOfPlate(db: Db, viewer: Viewer, plateId: string): Promise<Picture[]> {
  const rows = await ofPlate(db, { plateId })
  return rows.map((row) => shownPicture(row, viewer))
}

const ofPlate = often((db, { plateId }: { plateId: string }) =>
  pictures(db)
    .innerJoin('print', 'print.id', 'picture.printId')
    .where('print.plateId', '=', plateId)
    .orderBy('picture.id'),
)

/** These, as far as they belong to a file. */
export async function picturesById(db: Db, viewer: Viewer, ids: string[]): Promise<Picture[]> {
  if (ids.length === 0) return []
  const rows = await pictures(db).where('picture.id', 'in', ids).orderBy('picture.id').execute()
  return rows.map((row) => shownPicture(row, viewer))
}

/** Whose a picture is, of which file, and its version. @throws Problem 404 for one that belongs to no file yet, too */
export async function pictureAuthor(db: Db, id: string) {
  const row = await db
    .selectFrom('picture')
    .select(['memberId', 'version', 'fileId', 'wholeHash'])
    .where('id', '=', id)
    .executeTakeFirst()
  if (!row?.fileId) throw notFound('picture')
  return { ...row, fileId: row.fileId }
}

/** So many units' bases are laid over a picture at most. */
const mostBases = 6

/** The base of a file, and those of units that it stands in for, as far as they are known. */
export async function basesFor(db: Db, fileId: string) {
  const columns = ['baseShape', 'baseWidthMm', 'baseLengthMm'] as const
  const file = await db.selectFrom('file').select(columns).where('id', '=', fileId).executeTakeFirst()
  const rows = await db
    .selectFrom('fileUnit')
    .innerJoin('unit', 'unit.id', 'fileUnit.unitId')
    .select(['unit.id', 'unit.name', ...columns])
    .where('fileId', '=', fileId)
    .where('baseShape', 'is not', null)
    .orderBy('unit.name')
    .limit(mostBases)
    .execute()
  const units = rows.flatMap(({ id, name, ...row }) => {
    const base = baseOf(row)
    return base ? [{ id, name, base }] : []
  })
  return { own: file ? baseOf(file) : null, units }
}

/** Whether the bytes under this hash are for the viewer: of a picture that is there, or of one that only they have sent. */
export async function mayLoad(db: Db, viewer: Viewer, hash: string): Promise<boolean> {
  const [row] = await loadable(db, { hash, viewerId: viewer.id })
  return row !== undefined
}

const loadable = often((db, { hash, viewerId }: { hash: string; viewerId: string }) =>
  db
    .selectFrom('picture')
    .select('id')
    .where((eb) => eb.or([eb('hash', '=', hash), eb('wholeHash', '=', hash)]))
    .where((eb) => eb.or([eb('fileId', 'is not', null), eb('memberId', '=', viewerId)]))
    .limit(1),
)
