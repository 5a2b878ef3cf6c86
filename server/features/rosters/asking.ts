import { sql } from 'kysely'
import { type Db, inTransaction } from '../../../db/connect.ts'
import { invalid } from '../../http/problem.ts'
import type { Viewer } from '../../http/session.ts'
import { addUnit } from '../catalogue/units/queries.ts'
import { postRequest, readRequest } from '../requests/requests/queries.ts'
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
    const wanted = new Map<string, number>()
    for (const entry of entries) {
      const unitId = entry.unitId ?? (await unitFor(trx, viewer, entry, body))
      wanted.set(unitId, (wanted.get(unitId) ?? 0) + entry.models)
    }
    if (entries.some(({ unitId }) => unitId === null)) await entriesChanged(trx, rosterId)
    const requests: Request[] = []
    for (const [unitId, models] of wanted) requests.push(await requestFor(trx, viewer, unitId, models))
    return requests
  })
}

/** The unit of this very name, setting and scale, made if there is none; the entry stands for it from now on. */
async function unitFor(trx: Db, viewer: Viewer, { id, words }: EntryRow, { setting, scaleMm }: Asked): Promise<string> {
  const known = await trx
    .selectFrom('unit')
    .select('id')
    .where(sql<boolean>`plain(name) = plain(${words}) and plain(setting) = plain(${setting})`)
    .where('scaleMm', '=', scaleMm)
    .executeTakeFirst()
  const unit = { name: words, setting, scaleMm, aliases: [], base: null, modelsPerUnit: 1, retailPrice: null }
  const unitId = known?.id ?? (await addUnit(trx, viewer.id, unit)).id
  await trx.updateTable('rosterEntry').set({ unitId }).where('id', '=', id).execute()
  return unitId
}

async function requestFor(trx: Db, viewer: Viewer, unitId: string, models: number): Promise<Request> {
  const open = await trx
    .selectFrom('request')
    .select('id')
    .where('askerId', '=', viewer.id)
    .where('unitId', '=', unitId)
    .where('state', '=', 'open')
    .orderBy('id', 'desc')
    .executeTakeFirst()
  if (open) return readRequest(trx, viewer, open.id)
  const wanted = Math.min(models, mostModels)
  return postRequest(trx, viewer, { unitId, wanted, mustHaves: [], budget: null, neededBy: null, remark: '' })
}
