import { sql } from 'kysely'
import { v7 } from 'uuid'
import { type Db, inTransaction } from '../../../db/connect.ts'
import { type Asked, pageById, shownPage } from '../../http/paging.ts'
import { forbidden, notFound } from '../../http/problem.ts'
import { addRow, changeRow } from '../../http/rows.ts'
import type { Viewer } from '../../http/session.ts'
import { expectVersion, type Wanted } from '../../http/version.ts'
import { addPasted, entriesOf, shownEntries } from './entries.ts'
import type { LookedUp } from './paste/queries.ts'
import { retailOf } from './rules.ts'
import type { ChangedRoster, NewRoster, Roster, RosterRow } from './schema.ts'

const rosters = (db: Db) =>
  db
    .selectFrom('roster')
    .innerJoin('member', 'member.id', 'roster.ownerId')
    .select(['roster.id', 'roster.name', 'roster.ownerId', 'member.name as owner', 'roster.shared'])
    .select(['roster.createdAt', 'roster.version', 'roster.listVersion'])

type Row = Awaited<ReturnType<ReturnType<typeof rosters>['executeTakeFirstOrThrow']>>

const head = ({ id, name, ownerId, owner, shared, createdAt, version }: Row) => ({
  id,
  name,
  owner: { id: ownerId, name: owner },
  shared,
  createdAt: createdAt.toISOString(),
  version,
})

interface Which extends Asked {
  memberId?: string | undefined
  /** everybody's but this member's */
  exceptMemberId?: string | undefined
}

/** A page of the rosters that the viewer may read, newest first; of one member where asked for. */
export async function listRosters(db: Db, viewer: Viewer, { memberId, exceptMemberId, ...asked }: Which) {
  const readable = rosters(db)
    .select([
      sql<number>`(select count(*)::integer from roster_entry where roster_id = roster.id)`.as('entries'),
      sql<number | null>`(select sum(models)::integer from roster_entry where roster_id = roster.id)`.as('models'),
    ])
    .where((eb) => eb.or([eb('roster.shared', '=', true), eb('roster.ownerId', '=', viewer.id)]))
    .$if(memberId !== undefined, (query) => query.where('roster.ownerId', '=', memberId ?? ''))
    .$if(exceptMemberId !== undefined, (query) => query.where('roster.ownerId', '<>', exceptMemberId ?? ''))
  const shown = (row: Row & { entries: number; models: number | null }): RosterRow => ({
    ...head(row),
    entries: row.entries,
    models: row.models ?? 0,
  })
  return shownPage(await pageById(readable, 'roster.id', 'desc', asked), shown)
}

/** The roster's row, if it is the viewer's to see. @throws Problem 404 */
export async function rosterRow(db: Db, viewer: Viewer, id: string): Promise<Row> {
  const row = await rosters(db).where('roster.id', '=', id).executeTakeFirst()
  if (!row || (!row.shared && row.ownerId !== viewer.id)) throw notFound('roster')
  return row
}

/** As `rosterRow`, for what concerns its owner alone. @throws Problem 403, 404 */
export async function ownRoster(db: Db, viewer: Viewer, id: string): Promise<Row> {
  const row = await rosterRow(db, viewer, id)
  if (row.ownerId !== viewer.id) throw forbidden(whoseRoster)
  return row
}

export const whoseRoster = 'Only its owner can change or plan a roster. Copy it to get one of your own.'

/** The roster with its entries. @param known what was looked up of their words before @throws Problem 404 */
export async function readRoster(db: Db, viewer: Viewer, id: string, known?: LookedUp): Promise<Roster> {
  const row = await rosterRow(db, viewer, id)
  const { group } = viewer
  const entries = await entriesOf(db, id)
  return {
    ...head(row),
    models: entries.reduce((sum, entry) => sum + entry.models, 0),
    entries: await shownEntries(db, group, entries, row.ownerId === viewer.id, known),
    retail: retailOf(entries, group),
  }
}

/** @param known what `lookUp` found of its text @throws Problem 422 for a text that can't be read */
export async function addRoster(
  db: Db,
  viewer: Viewer,
  { text, bracketed, ...columns }: NewRoster,
  known?: LookedUp,
): Promise<Roster> {
  return inTransaction(db, async (trx) => {
    const id = v7()
    await addRow(trx, 'roster', { id, ownerId: viewer.id, ...columns })
    await addPasted(trx, viewer.group, id, { text, bracketed, known })
    return readRoster(trx, viewer, id, known)
  })
}

/** @throws Problem 403, 404, 412 */
export async function changeRoster(db: Db, viewer: Viewer, id: string, change: ChangedRoster, wanted?: Wanted) {
  await inTransaction(db, async (trx) => {
    await rosterToChange(trx, viewer, id, wanted)
    await changeRow(trx, 'roster', id, change)
  })
  return readRoster(db, viewer, id)
}

/** Takes a roster away with its plan; what was bought for it stays bought. @throws Problem 403, 404, 412 */
export async function removeRoster(db: Db, viewer: Viewer, id: string, wanted?: Wanted): Promise<void> {
  await inTransaction(db, async (trx) => {
    await rosterToChange(trx, viewer, id, wanted)
    await trx.deleteFrom('roster').where('id', '=', id).execute()
  })
}

/** Locks a roster for a change by its owner. @throws Problem 403, 404, 412 */
export async function rosterToChange(trx: Db, viewer: Viewer, id: string, wanted?: Wanted) {
  const row = await trx
    .selectFrom('roster')
    .select(['ownerId', 'shared', 'version', 'listVersion'])
    .where('id', '=', id)
    .forUpdate()
    .executeTakeFirst()
  if (!row || (!row.shared && row.ownerId !== viewer.id)) throw notFound('roster')
  if (row.ownerId !== viewer.id) throw forbidden(whoseRoster)
  expectVersion(row.version, wanted)
  return row
}

/**
 * Notes that the entries have changed: a plan made before is out of date, unless it does not rest on what was changed.
 *
 * @returns the version of the roster from now on
 */
export async function entriesChanged(trx: Db, id: string, isPlanned = true): Promise<number> {
  const { version } = await trx
    .updateTable('roster')
    .set({ version: sql<number>`version + 1`, ...(isPlanned && { listVersion: sql<number>`list_version + 1` }) })
    .where('id', '=', id)
    .returning('version')
    .executeTakeFirstOrThrow()
  return version
}

/** What a cut in the middle of an emoji leaves. */
const halfACharacter = /[\uD800-\uDBFF]$/

/**
 * Makes a roster of the viewer's own with the same entries, which nobody else sees until they share it.
 *
 * @returns its id @throws Problem 404
 */
export async function copyRoster(db: Db, viewer: Viewer, id: string, name?: string): Promise<string> {
  return inTransaction(db, async (trx) => {
    const from = await rosterRow(trx, viewer, id)
    const copy = v7()
    const called = name ?? `${from.name.slice(0, 110).replace(halfACharacter, '')} (copy)`
    await addRow(trx, 'roster', { id: copy, ownerId: viewer.id, name: called, shared: false })
    const entries = await trx
      .selectFrom('rosterEntry')
      .select(['place', 'words', 'unitId', 'models', 'retailPriceMinor', 'retailPriceCurrency', 'retailPer'])
      .where('rosterId', '=', id)
      .orderBy('place')
      .execute()
    if (entries.length > 0)
      await addRow(
        trx,
        'rosterEntry',
        entries.map((entry) => ({ id: v7(), rosterId: copy, ...entry })),
      )
    return copy
  })
}
