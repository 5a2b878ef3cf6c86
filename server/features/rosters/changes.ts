import { sql } from 'kysely'
import { v7 } from 'uuid'
import { type Db, inTransaction } from '../../../db/connect.ts'
import { ifMissing } from '../../../db/failures.ts'
import type { Group } from '../../http/group.ts'
import { invalid, notFound } from '../../http/problem.ts'
import { addRow, rowOf } from '../../http/rows.ts'
import type { Viewer } from '../../http/session.ts'
import type { Wanted } from '../../http/version.ts'
import { priceColumns } from '../catalogue/units/queries.ts'
import { requestsById } from '../requests/requests/queries.ts'
import type { Request } from '../requests/requests/schema.ts'
import { assemblyAfter } from './army/rules.ts'
import {
  addPasted,
  type EntryRow,
  entriesOf,
  expectRates,
  expectRoom,
  lastPlace,
  type Pasted,
  shownEntries,
} from './entries.ts'
import { mostModels } from './paste/parse.ts'
import { unitsNear } from './paste/queries.ts'
import { decide } from './paste/rules.ts'
import { entriesChanged, rosterToChange } from './queries.ts'
import type { Asked, ChangedEntry, Entry, NewEntries } from './schema.ts'

/**
 * Adds one entry, or those of a pasted list.
 *
 * @param body with what `lookUp` found of its text
 * @returns the new entries, and the roster's version after
 * @throws Problem 403, 404, 412, 422
 */
export async function addEntries(db: Db, viewer: Viewer, rosterId: string, body: Added, wanted?: Wanted) {
  return inTransaction(db, async (trx) => {
    await rosterToChange(trx, viewer, rosterId, wanted)
    const ids =
      body.text === undefined
        ? [await addOne(trx, viewer.group, rosterId, body)]
        : await addPasted(trx, viewer.group, rosterId, { ...body, text: body.text })
    if (ids.length === 0) throw invalid('/text', 'No line in it names a unit.')
    const version = await entriesChanged(trx, rosterId)
    return {
      items: await shownEntries(trx, viewer.group, await entriesOf(trx, rosterId, ids), true, body.known),
      version,
    }
  })
}

type Added = NewEntries & Pick<Pasted, 'known'>

async function addOne(trx: Db, group: Group, rosterId: string, body: NewEntries): Promise<string> {
  await expectRoom(trx, rosterId, 1, '/words')
  expectRates(group, [body.retailPrice], '/retailPrice/currency')
  const unit = body.unitId ? await knownUnit(trx, body.unitId) : await meantUnit(trx, body.words ?? '')
  const id = v7()
  const place = (await lastPlace(trx, rosterId)) + 1
  await addRow(trx, 'rosterEntry', {
    id,
    rosterId,
    place,
    words: body.words ?? unit?.name ?? '',
    unitId: unit?.id ?? null,
    models: body.models ?? unit?.modelsPerUnit ?? 1,
    retailPer: body.retailPer,
    ...priceColumns(body.retailPrice),
  })
  return id
}

async function meantUnit(trx: Db, words: string) {
  const found = decide((await unitsNear(trx, [words])).get(words) ?? [])
  return 'unit' in found ? found.unit : undefined
}

const knownUnit = (trx: Db, id: string) => rowOf(trx, 'unit', id, ['id', 'name', 'modelsPerUnit'], noSuchUnit)

const noSuchUnit = () => invalid('/unitId', 'There is no such unit.')

/** The unit that is chosen, or that the words mean beyond doubt. */
async function unitToBe(trx: Db, before: string, { unitId, words = before }: ChangedEntry) {
  if (unitId) return (await knownUnit(trx, unitId)).id
  return (await meantUnit(trx, words))?.id ?? null
}

/** @returns the entry, and the roster's version after @throws Problem 403, 404, 412, 422 */
export async function changeEntry(
  db: Db,
  viewer: Viewer,
  { id: rosterId, entryId }: { id: string; entryId: string },
  change: ChangedEntry,
  wanted?: Wanted,
): Promise<{ entry: Entry; version: number }> {
  return inTransaction(db, async (trx) => {
    await rosterToChange(trx, viewer, rosterId, wanted)
    const { retailPrice, unitId, built, painted, ...columns } = change
    expectRates(viewer.group, [retailPrice], '/retailPrice/currency')
    const [before] = await entriesOf(trx, rosterId, [entryId])
    if (!before) throw notFound('entry')
    const listed = {
      ...columns,
      ...(retailPrice !== undefined && priceColumns(retailPrice)),
      ...(unitId !== undefined && { unitId: await unitToBe(trx, before.words, change) }),
    }
    const set = { ...listed, ...assemblyAfter(before, change) }
    if (Object.keys(set).length > 0) await trx.updateTable('rosterEntry').set(set).where('id', '=', entryId).execute()
    const [row] = await entriesOf(trx, rosterId, [entryId])
    if (!row) throw notFound('entry')
    const isAssemblyAlone = Object.keys(listed).length === 0 && (built !== undefined || painted !== undefined)
    const version = await entriesChanged(trx, rosterId, !isAssemblyAlone)
    const [entry] = await shownEntries(trx, viewer.group, [row])
    if (!entry) throw notFound('entry')
    return { entry, version }
  })
}

/** @throws Problem 403, 404, 412 */
export async function removeEntry(
  db: Db,
  viewer: Viewer,
  { id: rosterId, entryId }: { id: string; entryId: string },
  wanted?: Wanted,
): Promise<void> {
  await inTransaction(db, async (trx) => {
    await rosterToChange(trx, viewer, rosterId, wanted)
    const done = await trx
      .deleteFrom('rosterEntry')
      .where('id', '=', entryId)
      .where('rosterId', '=', rosterId)
      .executeTakeFirst()
    if (done.numDeletedRows === 0n) throw notFound('entry')
    await entriesChanged(trx, rosterId)
  })
}

/**
 * Says of several entries at a time which unit is meant.
 *
 * @param meant unit's id by entry's id; an entry that is gone meanwhile is passed over
 * @throws Problem 403, 404, 422
 */
export async function tellUnits(db: Db, viewer: Viewer, rosterId: string, meant: ReadonlyMap<string, string>) {
  await inTransaction(db, async (trx) => {
    await rosterToChange(trx, viewer, rosterId)
    if (meant.size === 0) return
    await sql`update roster_entry set unit_id = meant.unit_id
      from unnest(${[...meant.keys()]}::uuid[], ${[...meant.values()]}::uuid[]) as meant (entry_id, unit_id)
      where roster_entry.id = meant.entry_id and roster_id = ${rosterId}`
      .execute(trx)
      .catch(ifMissing(noSuchUnit))
    await entriesChanged(trx, rosterId)
  })
}

/**
 * Asks the group for stand-ins of entries, one request a unit: where nobody knows the unit it is added first, named by
 * the entry's words. Where the member has an open request for the unit already, that one is given back.
 *
 * @throws Problem 403, 404, 422 for an entry that is not in this roster
 */
export async function askForEntries(db: Db, viewer: Viewer, rosterId: string, body: Asked): Promise<Request[]> {
  return inTransaction(db, async (trx) => {
    await rosterToChange(trx, viewer, rosterId)
    const ids = [...new Set(body.entryIds)]
    const entries = await entriesOf(trx, rosterId, ids)
    if (entries.length < ids.length) throw invalid('/entryIds', 'One of these entries is not in this roster.')
    const unknown = entries.filter(({ unitId }) => unitId === null)
    const units = await unitsFor(trx, viewer, unknown, body)
    const wanted = new Map<string, number>()
    for (const { id, unitId, models } of entries) {
      const unit = unitId ?? units.get(id) ?? ''
      wanted.set(unit, (wanted.get(unit) ?? 0) + models)
    }
    if (unknown.length > 0) await entriesChanged(trx, rosterId)
    return requestsFor(trx, viewer, wanted)
  })
}

/** The units of these very names, setting and scale, made where there are none; the entries stand for them from now on. */
async function unitsFor(trx: Db, viewer: Viewer, entries: EntryRow[], { setting, scaleMm }: Asked) {
  if (entries.length === 0) return new Map<string, string>()
  await trx
    .insertInto('unit')
    .values(entries.map(({ words }) => ({ id: v7(), name: words, setting, scaleMm, createdBy: viewer.id })))
    .onConflict((conflict) => conflict.doNothing())
    .execute()
  const { rows } = await sql<{ id: string; unitId: string }>`
    update roster_entry set unit_id = unit.id from unit
    where roster_entry.id = any(${entries.map(({ id }) => id)}::uuid[]) and plain(unit.name) = plain(words)
      and plain(setting) = plain(${setting}) and scale_mm = ${scaleMm}
    returning roster_entry.id, roster_entry.unit_id`.execute(trx)
  return new Map(rows.map(({ id, unitId }) => [id, unitId]))
}

/** An open request of the member's for each unit, posted where there is none. @param wanted models by unit */
async function requestsFor(trx: Db, viewer: Viewer, wanted: ReadonlyMap<string, number>): Promise<Request[]> {
  const open = await trx
    .selectFrom('request')
    .distinctOn('unitId')
    .select(['id', 'unitId'])
    .where('askerId', '=', viewer.id)
    .where('unitId', 'in', [...wanted.keys()])
    .where('state', '=', 'open')
    .orderBy('unitId')
    .orderBy('id', 'desc')
    .execute()
  const ids = new Map(open.map(({ id, unitId }) => [unitId, id]))
  const missing = [...wanted].filter(([unitId]) => !ids.has(unitId))
  const askerId = viewer.id
  const posted = missing.map(([unitId, models]) => ({
    id: v7(),
    askerId,
    unitId,
    wanted: Math.min(models, mostModels),
  }))
  if (posted.length > 0) await addRow(trx, 'request', posted)
  for (const { id, unitId } of posted) ids.set(unitId, id)
  const requests = new Map((await requestsById(trx, viewer, [...ids.values()])).map((one) => [one.unit.id, one]))
  return [...wanted.keys()].flatMap((unitId) => requests.get(unitId) ?? [])
}
