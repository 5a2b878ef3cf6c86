import { sql } from 'kysely'
import { v7 } from 'uuid'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { ifTaken } from '../../../../db/failures.ts'
import { jsonRows } from '../../../../db/json.ts'
import { often, unseen } from '../../../../db/often.ts'
import { latestToday } from '../../../http/day.ts'
import { conflict, invalid, notFound } from '../../../http/problem.ts'
import { addRow, changeRow, rowOf } from '../../../http/rows.ts'
import type { Viewer } from '../../../http/session.ts'
import { expectChange, type Wanted } from '../../../http/version.ts'
import { markForFit } from '../../evidence/queries.ts'
import { fileHead } from '../files/heads.ts'
import { discreet, type SculptorRow } from '../files/rules.ts'
import { othersWordsAfter, writerOf } from '../sculptors/own-words.ts'
import type { ChangedRevision, NewRevision, NewSupportSet, Revision, SupportSet } from './schema.ts'

const revisions = (db: Db) =>
  db
    .selectFrom('revision')
    .innerJoin('member', 'member.id', 'revision.createdBy')
    .select(['revision.id', 'fileId', 'label', 'releasedOn', 'sha256', 'createdBy', 'member.name as author'])
    .select(['revision.createdAt', 'revision.version', 'revision.othersWords'])
    // The order of a file's revisions: by release, those without a day first, then as they were added.
    .orderBy('releasedOn', (order) => order.asc().nullsFirst())
    .orderBy('revision.createdAt')
    .orderBy('revision.id')

    .select((eb) =>
      jsonRows(
        eb
          .selectFrom('supportSet')
          .select(setColumns)
          .whereRef('supportSet.revisionId', '=', 'revision.id')
          .orderBy('supportSet.id'),
      ).as('sets'),
    )

const setColumns = ['id', 'revisionId', 'kind', 'claim', 'createdBy', 'createdAt'] as const

type Row = Awaited<ReturnType<ReturnType<typeof revisions>['executeTakeFirstOrThrow']>>
type SetRow = Omit<SupportSet, 'createdAt'> & { createdBy: string; createdAt: Date | string }

/** Whose words a revision's label is: who added it, unless somebody else changed it since. */
export const labelBy = sql<string | null>`case when 'label' <> all (revision.others_words) then revision.created_by end`

const shownSet = ({ createdBy, ...row }: SetRow, sculptor: SculptorRow, viewer: Viewer): SupportSet => ({
  ...row,
  claim: discreet(row.claim, sculptor, viewer, createdBy),
  createdAt: new Date(row.createdAt).toISOString(),
})

type FileOfRevisions = SculptorRow & { id: string }

/** The revisions of a file with their support sets, oldest first. */
export async function revisionsOf(db: Db, viewer: Viewer, file: FileOfRevisions): Promise<Revision[]> {
  return (await revisionsOfFiles(db, viewer, [file])).get(file.id) ?? []
}

/** The same of several files, by file; with an empty list where there is none. */
export async function revisionsOfFiles(db: Db, viewer: Viewer, files: readonly FileOfRevisions[]) {
  const rows = await revisionsByFile(db, { fileIds: files.map(({ id }) => id) })
  const byFile = Map.groupBy(rows, ({ fileId }) => fileId)
  const shown = (row: Row, file: FileOfRevisions): Revision => {
    const { author, createdBy, othersWords, sets, ...rest } = row
    return {
      ...rest,
      label: discreet(row.label, file, viewer, writerOf(row, 'label')),
      createdBy: { id: createdBy, name: author },
      createdAt: row.createdAt.toISOString(),
      supportSets: sets.map((set) => shownSet(set, file, viewer)),
    }
  }
  return new Map(files.map((file) => [file.id, (byFile.get(file.id) ?? []).map((row) => shown(row, file))]))
}

const revisionsByFile = often((db, { fileIds }: { fileIds: string[] }) =>
  revisions(db).where('fileId', '=', sql<string>`any(${unseen(fileIds, 'uuid[]')})`),
)

/** Ids of a file's revisions, oldest first. */
export async function revisionOrder(db: Db, fileId: string): Promise<string[]> {
  return (await revisions(db).where('fileId', '=', fileId).execute()).map((row) => row.id)
}

/** @throws Problem 404 */
export async function readRevision(db: Db, viewer: Viewer, id: string): Promise<Revision> {
  const row = await rowOf(db, 'revision', id, ['fileId'])
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
  expectPast(columns.releasedOn, now)
  return inTransaction(db, async (trx) => {
    await fileHead(trx, fileId)
    await holdRevisions(trx, fileId)
    await expectNewLabel(trx, viewer, fileId, columns.label)
    const id = v7()
    await addRow(trx, 'revision', { id, fileId, ...columns, createdBy: viewer.id })
    if (supportKinds.length > 0) await addSupportSets(trx, viewer, id, supportKinds)
    return readRevision(trx, viewer, id)
  })
}

/** The first sets of a new revision. */
async function addSupportSets(trx: Db, viewer: Viewer, revisionId: string, kinds: NewSupportSet['kind'][]) {
  const sets = [...new Set(kinds)].map((kind) => ({ id: v7(), revisionId, kind, claim: '', createdBy: viewer.id }))
  await addRow(trx, 'supportSet', sets)
  await markForFit(trx, null)
}

/** @throws Problem 422 for a day in the future */
function expectPast(releasedOn: string | null | undefined, now: Date): void {
  if (releasedOn && releasedOn > latestToday(now)) throw invalid('/releasedOn', 'This day is in the future.')
}

export const whoChangesRevisions = 'Only whoever added a revision, or a steward, can change it.'

/**
 * Corrects a revision: whoever added it, or a steward. Another day may change which revision is the newest, and with it
 * what the reports say about the file.
 *
 * @throws Problem 403, 404, 409 when the file has another revision of this label, 412, 422 for a day in the future, or by
 *   which a snag would be mended before it was found
 */
export async function changeRevision(
  db: Db,
  viewer: Viewer,
  id: string,
  change: ChangedRevision,
  { wanted, now = new Date() }: { wanted?: Wanted; now?: Date } = {},
): Promise<Revision> {
  expectPast(change.releasedOn, now)
  return inTransaction(db, async (trx) => {
    const { fileId } = await readRevision(trx, viewer, id)
    if (change.releasedOn !== undefined || change.label !== undefined) await holdRevisions(trx, fileId)
    const before = await revisionToChange(trx, id)
    expectChange(viewer, { ownerId: before.createdBy, version: before.version }, whoChangesRevisions, wanted)
    if (change.label !== undefined) await expectNewLabel(trx, viewer, fileId, change.label, id)
    const othersWords = othersWordsAfter(before, ['label'], change, viewer)
    await changeRow(trx, 'revision', id, { ...change, othersWords })
    if (change.releasedOn !== undefined && change.releasedOn !== before.releasedOn) {
      await expectFixedLater(trx, fileId)
      await markForFit(trx, null)
    }
    return readRevision(trx, viewer, id)
  })
}

/** Locks a revision for a change; support sets may be added to it meanwhile. @throws Problem 404 */
async function revisionToChange(trx: Db, id: string) {
  return trx
    .selectFrom('revision')
    .select(['releasedOn', 'createdBy', 'othersWords', 'version'])
    .where('id', '=', id)
    .forNoKeyUpdate()
    .executeTakeFirstOrThrow(() => notFound('revision'))
}

/** @throws Problem 422 when a snag of the file would be mended in no later revision than the one it was found in */
async function expectFixedLater(trx: Db, fileId: string): Promise<void> {
  const mended = await trx
    .selectFrom('snag')
    .select(['kind', 'revisionId', 'mendedInRevisionId'])
    .where('fileId', '=', fileId)
    .where('mendedInRevisionId', 'is not', null)
    .execute()
  const order = await revisionOrder(trx, fileId)
  const early = mended.find((snag) => order.indexOf(snag.mendedInRevisionId ?? '') <= order.indexOf(snag.revisionId))
  if (early)
    throw invalid('/releasedOn', `With this day, a snag (${early.kind}) would have been mended before it was found.`)
}

/** Keeps others from changing the order or the supports of files' revisions until the transaction ends. Reports go on. */
export async function holdRevisions(trx: Db, ...fileIds: string[]): Promise<void> {
  await trx.selectFrom('file').select('id').where('id', 'in', fileIds).orderBy('id').forNoKeyUpdate().execute()
}

/**
 * No two revisions of a file read alike to whoever adds one. What is left out of a label for them does not count, or they
 * could try names until one is taken.
 *
 * @param trx after `holdRevisions`
 * @throws Problem 409
 */
async function expectNewLabel(trx: Db, viewer: Viewer, fileId: string, label: string, own?: string): Promise<void> {
  const others = await revisionsOf(trx, viewer, await fileHead(trx, fileId))
  if (others.some((other) => other.id !== own && other.label === label))
    throw conflict('The file already has a revision with this label.')
}

/**
 * Says how a revision is supported. Reports on older revisions with supports of this kind say less about the file from
 * then on.
 *
 * @throws Problem 404 without such a revision, 409 when it has a set of this kind
 */
export async function addSupportSet(db: Db, viewer: Viewer, revisionId: string, set: NewSupportSet) {
  return inTransaction(db, async (trx) => {
    const { fileId } = await readRevision(trx, viewer, revisionId)
    const row = await trx
      .insertInto('supportSet')
      .values({ id: v7(), revisionId, ...set, createdBy: viewer.id })
      .returning(['id', 'revisionId', 'kind', 'claim', 'createdBy', 'createdAt'])
      .executeTakeFirstOrThrow()
      .catch(ifTaken(() => conflict(`This revision already has a support set “${set.kind}”.`)))
    await markForFit(trx, null)
    return shownSet(row, await fileHead(trx, fileId), viewer)
  })
}
