import { sql } from 'kysely'
import { v7 } from 'uuid'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { ifTaken } from '../../../../db/failures.ts'
import { isSteward } from '../../../http/access.ts'
import { baseColumns } from '../../../http/base.ts'
import { conflict, under } from '../../../http/problem.ts'
import { addRow, changeRow, heldRow } from '../../../http/rows.ts'
import type { Viewer } from '../../../http/session.ts'
import { expectChange, type Wanted } from '../../../http/version.ts'
import { markForFit } from '../../evidence/queries.ts'
import { addOfferTo } from '../offers/changes.ts'
import { addRevision } from '../revisions/queries.ts'
import { lockNames, sculptorCalled } from '../sculptors/called.ts'
import { othersWordsAfter } from '../sculptors/own-words.ts'
import { expectKnown } from './heads.ts'
import { readFile } from './queries.ts'
import { sculptorColumns, shownSculptor, shownTitle } from './rules.ts'
import type { ChangedFile, NewFile, WholeFile } from './schema.ts'

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
    const name = sculptor.name || nameFor(columns.title)
    const sculptorId = await sculptorCalled(trx, viewer, { ...sculptor, name })
    const row = { id, ...columns, ...baseColumns(base), sculptorId, createdBy: viewer.id }
    await addRow(trx, 'file', row).catch(refuseTwin)
    await standIn(trx, id, standsInFor)
    if (revision) await under('/revision', () => addRevision(trx, viewer, id, revision, now))
    if (offer) await under('/offer', () => addOfferTo(trx, viewer, id, offer, now))
    return readFile(trx, viewer, id)
  })
}

/**
 * What a sculptor is called whom nobody knows. Each such file has one of its own, so that its prints tell of no other
 * file, until somebody puts the name in.
 */
export const nameFor = (title: string) =>
  `the sculptor of “${title.length > 100 ? `${title.slice(0, 99).trimEnd()}…` : title}”`

async function standIn(trx: Db, fileId: string, unitIds: string[]): Promise<void> {
  const rows = unitIds.map((unitId) => ({ fileId, unitId }))
  if (rows.length > 0) await addRow(trx, 'fileUnit', rows)
}

const sameTitle = () =>
  conflict(
    'There is already a file with this title. If yours is a different one, say in its title what tells them apart.',
  )

const refuseTwin = ifTaken(sameTitle, 'file_title')

/**
 * The title of a file whose sculptor asked not to be named is taken for every sculptor, as far as the member can see it.
 * Otherwise they could guess names until the answer is "this one made it already", or titles that have the name in them.
 */
async function expectNewTitle(trx: Db, viewer: Viewer, title: string, fileId?: string): Promise<void> {
  if (isSteward(viewer)) return
  const twins = await trx
    .selectFrom('file')
    .innerJoin('sculptor', 'sculptor.id', 'file.sculptorId')
    .select(['file.title', ...sculptorColumns])
    .where('credit', '=', 'unnamed')
    .where(sql<boolean>`plain(file.title) = plain(${title})`)
    .$if(fileId !== undefined, (query) => query.where('file.id', '<>', fileId ?? ''))
    .execute()
  const isSeen = (row: (typeof twins)[number]) =>
    shownSculptor(row, viewer).id === null && shownTitle(row, viewer) === row.title
  if (twins.some(isSeen)) throw sameTitle()
}

export const whoChangesFiles = 'Only whoever added a file, or a steward, can change it.'

/**
 * Changes a file: its author, or a steward.
 *
 * @throws Problem 403, 404, 409 (the sculptor has another file of this title), 412, 422
 */
export async function changeFile(db: Db, viewer: Viewer, id: string, change: ChangedFile, wanted?: Wanted) {
  const { sculptor, standsInFor, base, ...columns } = change
  return inTransaction(db, async (trx) => {
    // In the order of whoever renames sculptors: first the name, then the files.
    if (sculptor) await lockNames(trx, [sculptor.name])
    const before = await heldRow(trx, 'file', id, ['title', 'sculptorId', 'createdBy', 'othersWords', 'version'])
    expectChange(viewer, { ownerId: before.createdBy, version: before.version }, whoChangesFiles, wanted)
    await expectKnown(trx, 'unit', standsInFor ?? [], '/standsInFor')
    const { title = before.title } = columns
    const sculptorId = sculptor ? await sculptorCalled(trx, viewer, sculptor) : before.sculptorId
    if (title !== before.title || sculptorId !== before.sculptorId) await expectNewTitle(trx, viewer, title, id)
    const othersWords = othersWordsAfter(before, ['title', 'licence', 'remark', 'options', 'styleTags'], change, viewer)
    const told = { ...columns, ...(base !== undefined && baseColumns(base)) }
    await changeRow(trx, 'file', id, { ...told, sculptorId, othersWords }).catch(refuseTwin)
    // A sculptor's files hint at each other.
    if (sculptorId !== before.sculptorId) await markForFit(trx, null)
    if (standsInFor) {
      await trx.deleteFrom('fileUnit').where('fileId', '=', id).execute()
      await standIn(trx, id, standsInFor)
    }
    return readFile(trx, viewer, id)
  })
}
