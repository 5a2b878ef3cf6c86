import { sql } from 'kysely'
import { v7 } from 'uuid'
import { type Db, inTransaction } from '../../../db/connect.ts'
import { invalid } from '../../http/problem.ts'
import type { Viewer } from '../../http/session.ts'
import { requestsById } from '../requests/requests/queries.ts'
import type { Request } from '../requests/requests/schema.ts'
import { type EntryRow, entriesOf } from './entries.ts'
import { mostModels } from './paste/parse.ts'
import { entriesChanged, rosterToChange } from './queries.ts'
import type { Asked } from './schema.ts'

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
  const posted = missing.map(([unitId, models]) => ({ id: v7(), unitId, wanted: Math.min(models, mostModels) }))
  if (posted.length > 0)
    await trx
      .insertInto('request')
      .values(posted.map((request) => ({ ...request, askerId: viewer.id })))
      .execute()
  for (const { id, unitId } of posted) ids.set(unitId, id)
  const requests = new Map((await requestsById(trx, viewer, [...ids.values()])).map((one) => [one.unit.id, one]))
  return [...wanted.keys()].flatMap((unitId) => requests.get(unitId) ?? [])
}
