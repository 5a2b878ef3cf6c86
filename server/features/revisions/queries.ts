import { v7 } from 'uuid'
import { type Db, inTransaction } from '../../../db/connect.ts'
import { uniqueViolation } from '../../../db/failures.ts'
import { latestToday } from '../../http/day.ts'
import { conflict, invalid, notFound } from '../../http/problem.ts'
import type { Viewer } from '../../http/session.ts'
import { haltReportsOn, reweighLine } from '../evidence/queries.ts'
import { fileHead } from '../files/heads.ts'
import { discreet, type SculptorRow } from '../files/rules.ts'
import type { NewRevision, NewSupportSet, Revision, SupportSet } from './schema.ts'

const revisions = (db: Db) =>
  db
    .selectFrom('revision')
    .select(['id', 'fileId', 'label', 'releasedOn', 'sha256', 'createdAt'])
    // The order of a file's revisions: by release, those without a day first, then as they were added.
    .orderBy('releasedOn', (order) => order.asc().nullsFirst())
    .orderBy('createdAt')
    .orderBy('id')

const supportSets = (db: Db) =>
  db.selectFrom('supportSet').select(['supportSet.id', 'revisionId', 'kind', 'claim', 'supportSet.createdAt'])

type SetRow = Awaited<ReturnType<ReturnType<typeof supportSets>['executeTakeFirstOrThrow']>>

const shownSet = (row: SetRow, sculptor: SculptorRow, viewer: Viewer): SupportSet => ({
  ...row,
  claim: discreet(row.claim, sculptor, viewer),
  createdAt: row.createdAt.toISOString(),
})

/** The revisions of a file with their support sets, oldest first. */
export async function revisionsOf(db: Db, viewer: Viewer, file: SculptorRow & { id: string }): Promise<Revision[]> {
  const rows = await revisions(db).where('fileId', '=', file.id).execute()
  const sets = await supportSets(db)
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .where('revision.fileId', '=', file.id)
    .orderBy('supportSet.id')
    .execute()
  return rows.map((row) => ({
    ...row,
    label: discreet(row.label, file, viewer),
    createdAt: row.createdAt.toISOString(),
    supportSets: sets.filter((set) => set.revisionId === row.id).map((set) => shownSet(set, file, viewer)),
  }))
}

/** Ids of a file's revisions, oldest first. */
export async function revisionOrder(db: Db, fileId: string): Promise<string[]> {
  return (await revisions(db).where('fileId', '=', fileId).execute()).map((row) => row.id)
}

/** @throws Problem 404 */
export async function readRevision(db: Db, viewer: Viewer, id: string): Promise<Revision> {
  const row = await db.selectFrom('revision').select('fileId').where('id', '=', id).executeTakeFirst()
  if (!row) throw notFound('revision')
  const all = await revisionsOf(db, viewer, await fileHead(db, row.fileId))
  const found = all.find((revision) => revision.id === id)
  if (!found) throw notFound('revision')
  return found
}

/**
 * Adds a revision, and sets of these kinds of support with it.
 *
 * @throws Problem 404 without such a file, 409 when it has a revision of this label, 422 for a day in the future
 */
export async function addRevision(
  db: Db,
  viewer: Viewer,
  fileId: string,
  { supportKinds = [], ...columns }: Omit<NewRevision, 'supportKinds'> & Partial<Pick<NewRevision, 'supportKinds'>>,
  now = new Date(),
): Promise<Revision> {
  if (columns.releasedOn && columns.releasedOn > latestToday(now))
    throw invalid('/releasedOn', 'That day has not come yet.')
  return inTransaction(db, async (trx) => {
    await fileHead(trx, fileId)
    await haltReportsOn(trx, fileId)
    const id = v7()
    await trx
      .insertInto('revision')
      .values({ id, fileId, ...columns, createdBy: viewer.id })
      .execute()
      .catch(refuseTwin)
    for (const kind of new Set(supportKinds)) await addSupportSet(trx, viewer, id, { kind, claim: '' })
    return readRevision(trx, viewer, id)
  })
}

function refuseTwin(error: unknown): never {
  if (uniqueViolation(error)) throw conflict('The file has a revision of this label already.')
  throw error
}

/**
 * Says how a revision is supported. Reports on older revisions with supports of this kind say less about the file from
 * then on.
 *
 * @throws Problem 404 without such a revision, 409 when it has a set of this kind
 */
export async function addSupportSet(
  db: Db,
  viewer: Viewer,
  revisionId: string,
  set: NewSupportSet,
): Promise<SupportSet> {
  return inTransaction(db, async (trx) => {
    const { fileId } = await readRevision(trx, viewer, revisionId)
    await haltReportsOn(trx, fileId)
    const row = await trx
      .insertInto('supportSet')
      .values({ id: v7(), revisionId, ...set, createdBy: viewer.id })
      .returning(['id', 'revisionId', 'kind', 'claim', 'createdAt'])
      .executeTakeFirstOrThrow()
      .catch((error) => {
        if (uniqueViolation(error)) throw conflict(`This revision has its “${set.kind}” already.`)
        throw error
      })
    await reweighLine(trx, fileId, set.kind)
    return shownSet(row, await fileHead(trx, fileId), viewer)
  })
}
