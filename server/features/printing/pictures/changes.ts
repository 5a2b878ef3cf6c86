import { sql } from 'kysely'
import { v7 } from 'uuid'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import type { Crop } from '../../../../db/rows/printing.ts'
import { forbidden, invalid, notFound } from '../../../http/problem.ts'
import { changeRow, rowOf } from '../../../http/rows.ts'
import type { Viewer } from '../../../http/session.ts'
import { expectChange, type Wanted } from '../../../http/version.ts'
import type { Plate } from '../plates/schema.ts'
import { type Encoded, encode } from './encode.ts'
import { type Kept, keepBytes, nameOf } from './keeping.ts'
import { pictureAuthor, picturesById, readPicture } from './queries.ts'
import { refusals } from './rules.ts'
import type { ChangedPicture, Picture } from './schema.ts'
import type { PictureStore } from './store.ts'

/** Takes a picture in: loose, until a form that names it is accepted. */
export async function takeIn({ db, store }: Kept, memberId: string, picture: Encoded): Promise<void> {
  const { hash, width, height } = picture
  const whole = { wholeHash: hash, wholeWidth: width, wholeHeight: height }
  await keepBytes(db, store, picture, (trx) =>
    trx
      .insertInto('picture')
      .values({ id: v7(), memberId, hash, width, height, ...whole })
      .onConflict((same) => same.columns(['memberId', 'hash']).where('fileId', 'is', null).doNothing())
      .execute(),
  )
}

interface Shows {
  pictures: readonly string[]
  alt: string
  fileId: string
  printId: string | null
}

/**
 * Has pictures that the viewer sent along show a print of a file.
 *
 * @throws Problem 422 for one that is not kept any more
 */
export async function attach(trx: Db, viewer: Viewer, { pictures, alt, fileId, printId }: Shows): Promise<Picture[]> {
  const hashes = [...new Set(pictures)]
  if (hashes.length === 0) return []
  const rows = await trx
    .updateTable('picture')
    .set({ fileId, printId, alt })
    .where('memberId', '=', viewer.id)
    .where('fileId', 'is', null)
    .where('hash', 'in', hashes)
    .returning('id')
    .execute()
  if (rows.length < hashes.length) throw invalid('/pictures', 'This picture is no longer here. Choose it again.')
  const ids = rows.map(({ id }) => id)
  return picturesById(trx, viewer, ids)
}

export const whoChangesPictures = 'Only whoever took a picture, or a steward, can change it.'

/**
 * Cuts a picture for a change of it. That waits for its turn, so it is done before any transaction: one that waits along
 * would keep a connection from the others, and the embedded database has no second one.
 *
 * @returns undefined where nothing is to be cut off
 * @throws Problem 403, 404, 412, 503 when too many pictures are being encoded
 */
export async function cutOut(
  { db, store }: Kept,
  viewer: Viewer,
  id: string,
  { crop }: ChangedPicture,
  wanted?: Wanted,
): Promise<Encoded | undefined> {
  if (!crop || !isCut(crop)) return undefined
  const { memberId: ownerId, version, wholeHash } = await pictureAuthor(db, id)
  expectChange(viewer, { ownerId, version }, whoChangesPictures, wanted)
  return cropped(store, wholeHash, crop)
}

/**
 * Changes the words of a picture, what is cut off, or the base that is marked in it.
 *
 * @param cut what `cutOut` made of it
 * @throws Problem 403, 404, 412
 */
export async function changePicture(
  { db, store }: Kept,
  viewer: Viewer,
  id: string,
  { crop, base, alt, cut }: ChangedPicture & { cut?: Encoded | undefined },
  wanted?: Wanted,
): Promise<Picture> {
  const { memberId: ownerId, version } = await pictureAuthor(db, id)
  const meant = expectChange(viewer, { ownerId, version }, whoChangesPictures, wanted)
  const columns = {
    alt,
    ...(base !== undefined && { base: base && JSON.stringify(base) }),
    ...(crop !== undefined && (cut ? cutTo(cut, crop) : uncut)),
  }
  const write = (trx: Db) => changeRow(trx, 'picture', id, columns, meant)
  await (cut ? keepBytes(db, store, cut, write) : write(db))
  return readPicture(db, viewer, id)
}

const isCut = ({ left, top, right, bottom }: Crop) => left + top + right + bottom > 0

const uncut = {
  crop: null,
  hash: sql<string>`whole_hash`,
  width: sql<number>`whole_width`,
  height: sql<number>`whole_height`,
}

const cutTo = ({ hash, width, height }: Encoded, crop: Crop | null | undefined) => ({
  crop: JSON.stringify(crop),
  hash,
  width,
  height,
})

/** Cut anew out of the whole picture. */
async function cropped(store: PictureStore, wholeHash: string, crop: Crop): Promise<Encoded> {
  const bytes = await store.get(nameOf(wholeHash, 'large'))
  if (!bytes) throw notFound('picture')
  const encoded = await encode({ bytes, crop })
  if ('refusal' in encoded) throw invalid('/crop', refusals[encoded.refusal])
  return encoded
}

/** Removes a picture: whoever took it, or a steward. @throws Problem 403, 404, 412 */
export async function removePicture(db: Db, viewer: Viewer, id: string, wanted?: Wanted): Promise<{ fileId: string }> {
  return inTransaction(db, async (trx) => {
    const { memberId: ownerId, version, fileId } = await pictureAuthor(trx, id)
    expectChange(viewer, { ownerId, version }, 'Only whoever took a picture, or a steward, can remove it.', wanted)
    await trx.deleteFrom('picture').where('id', '=', id).execute()
    return { fileId }
  })
}

/** Chooses the picture that stands for a file; null leaves it to the newest of a good print. @throws Problem 404, 422 */
export async function chooseFace(db: Db, fileId: string, pictureId: string | null): Promise<void> {
  if (pictureId !== null) {
    const its = db.selectFrom('picture').select('id').where('id', '=', pictureId).where('fileId', '=', fileId)
    if (!(await its.executeTakeFirst())) throw invalid('/pictureId', 'The file has no such picture.')
  }
  const done = await db.updateTable('file').set({ faceId: pictureId }).where('id', '=', fileId).executeTakeFirst()
  if (done.numUpdatedRows === 0n) throw notFound('file')
}

export const whoShows = 'Only whoever made a print can add pictures of it.'

/** A print of the viewer's own, and its file. @throws Problem 403, 404 */
export async function printToShow(db: Db, viewer: Viewer, printId: string) {
  const row = await db
    .selectFrom('print')
    .innerJoin('plate', 'plate.id', 'print.plateId')
    .innerJoin('supportSet', 'supportSet.id', 'print.supportSetId')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .select(['plate.memberId', 'revision.fileId'])
    .where('print.id', '=', printId)
    .executeTakeFirstOrThrow(() => notFound('report'))
  if (row.memberId !== viewer.id) throw forbidden(whoShows)
  return { fileId: row.fileId, printId }
}

/** The print of a plate that a form's pictures show, by its place. @throws Problem 422 */
export function pictured({ prints }: Plate, place: number) {
  const print = prints[place]
  if (!print) throw invalid('/pictured', 'Which print does the picture show?')
  return { fileId: print.file.id, printId: print.id }
}

/** The file that a proposal proposes. @throws Problem 404 */
export async function picturedFile(db: Db, proposalId: string): Promise<string> {
  const row = await rowOf(db, 'proposal', proposalId, ['fileId'])
  return row.fileId
}
