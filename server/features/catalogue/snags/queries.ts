import { type ExpressionBuilder, sql } from 'kysely'
import { v7 } from 'uuid'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import type { Tables } from '../../../../db/tables.ts'
import { invalid, notFound, Problem } from '../../../http/problem.ts'
import { addRow, changeRow, heldRow } from '../../../http/rows.ts'
import type { Viewer } from '../../../http/session.ts'
import { expectChange, type Wanted } from '../../../http/version.ts'
import { markForFit } from '../../evidence/queries.ts'
import { fileHead } from '../files/heads.ts'
import { discreet, type SculptorRow } from '../files/rules.ts'
import { holdRevisions, revisionOrder } from '../revisions/queries.ts'
import { othersWordsAfter, writerOf } from '../sculptors/own-words.ts'
import { supportsMendedIn, wrongSnag } from './rules.ts'
import type { ChangedSnag, NewSnag, Snag } from './schema.ts'

const columns = [
  ...([
    'snag.id',
    'snag.fileId',
    'snag.revisionId',
    'snag.kind',
    'snag.severity',
    'snag.part',
    'snag.minutes',
  ] as const),
  ...(['snag.detail', 'snag.state', 'snag.mendedInRevisionId', 'snag.createdBy', 'snag.createdAt'] as const),
  ...(['snag.version', 'snag.othersWords', 'member.name as author'] as const),
] as const

const snags = (db: Db) =>
  db
    .selectFrom('snag')
    .innerJoin('member', 'member.id', 'snag.createdBy')
    .select([...columns])

type Row = Awaited<ReturnType<ReturnType<typeof snags>['executeTakeFirstOrThrow']>>

const words = ['part', 'detail']

/** @param row its instants may be texts, as out of JSON */
export function shownSnag(
  { author, createdBy, createdAt, othersWords, ...row }: Omit<Row, 'createdAt'> & { createdAt: Date | string },
  sculptor: SculptorRow,
  viewer: Viewer,
): Snag {
  const by = (field: string) => writerOf({ createdBy, othersWords }, field)
  return {
    ...row,
    part: discreet(row.part, sculptor, viewer, by('part')),
    detail: discreet(row.detail, sculptor, viewer, by('detail')),
    createdBy: { id: createdBy, name: author },
    createdAt: new Date(createdAt).toISOString(),
  }
}

/** The snags of each row of `file`: those that stand in the way first, the mended ones last. */
export const snagsOf = (eb: ExpressionBuilder<Tables, 'file'>) =>
  eb
    .selectFrom('snag')
    .innerJoin('member', 'member.id', 'snag.createdBy')
    .select([...columns])
    .whereRef('snag.fileId', '=', 'file.id')
    .orderBy(sql`snag.state = 'mended'`)
    .orderBy(sql`array_position(array['stops the print', 'costs time', 'only looks'], severity)`)
    .orderBy('snag.id')

/** @throws Problem 404 */
export async function readSnag(db: Db, viewer: Viewer, id: string): Promise<Snag> {
  const row = await snags(db).where('snag.id', '=', id).executeTakeFirst()
  if (!row) throw notFound('snag')
  return shownSnag(row, await fileHead(db, row.fileId), viewer)
}

/** @throws Problem 404 without such a file, 422 when the revision is not the file's */
export async function addSnag(db: Db, viewer: Viewer, fileId: string, snag: NewSnag): Promise<Snag> {
  await fileHead(db, fileId)
  if (!(await revisionOrder(db, fileId)).includes(snag.revisionId))
    throw invalid('/revisionId', 'The file has no such revision.')
  const id = v7()
  await addRow(db, 'snag', { id, fileId, ...snag, createdBy: viewer.id })
  return readSnag(db, viewer, id)
}

export const whoChangesSnags = 'Only whoever noted a snag, or a steward, can change it.'

/**
 * Changes a snag: its author, or a steward. A state other than mended drops the revision that mended it, a severity that
 * costs no time drops the minutes.
 *
 * @throws Problem 403, 404, 412, 422
 */
export async function changeSnag(db: Db, viewer: Viewer, id: string, change: ChangedSnag, wanted?: Wanted) {
  return inTransaction(db, async (trx) => {
    const before = await snagToChange(trx, id)
    expectChange(viewer, { ownerId: before.createdBy, version: before.version }, whoChangesSnags, wanted)
    const after = changed(before, change)
    const errors = wrongSnag(after)
    if (errors[0]) throw new Problem(422, errors[0].message, { errors })
    if (after.mendedInRevisionId !== null) await holdRevisions(trx, after.fileId)
    await expectLater(trx, after)
    const { kind, severity, part, minutes, detail, state, mendedInRevisionId } = after
    const othersWords = othersWordsAfter(before, words, change, viewer)
    const columns = { kind, severity, part, minutes, detail, state, mendedInRevisionId, othersWords }
    await changeRow(trx, 'snag', id, columns)
    if (supportsMendedIn(before) !== supportsMendedIn(after)) await markForFit(trx, null)
    return readSnag(trx, viewer, id)
  })
}

type Facts = Awaited<ReturnType<typeof snagToChange>>

function changed(before: Facts, change: ChangedSnag): Facts {
  const state = change.state ?? before.state
  const severity = change.severity ?? before.severity
  const { minutes = severity === 'costs time' ? before.minutes : null } = change
  const { mendedInRevisionId = state === 'mended' ? before.mendedInRevisionId : null } = change
  const { kind = before.kind, part = before.part, detail = before.detail } = change
  return { ...before, kind, severity, part, minutes, detail, state, mendedInRevisionId }
}

/** Locks a snag for a change. @throws Problem 404 */
const snagToChange = (trx: Db, id: string) => heldRow(trx, 'snag', id, changedColumns)

const changedColumns = [
  ...(['fileId', 'revisionId', 'kind', 'severity', 'part', 'minutes', 'detail', 'state'] as const),
  ...(['mendedInRevisionId', 'createdBy', 'othersWords', 'version'] as const),
] as const

/** @throws Problem 422 unless what mended it is a later revision of the same file */
async function expectLater(
  trx: Db,
  { fileId, revisionId, mendedInRevisionId }: { fileId: string; revisionId: string; mendedInRevisionId: string | null },
): Promise<void> {
  if (mendedInRevisionId === null) return
  const order = await revisionOrder(trx, fileId)
  if (order.indexOf(mendedInRevisionId) <= order.indexOf(revisionId))
    throw invalid('/mendedInRevisionId', 'Choose a later revision of the same file.')
}
