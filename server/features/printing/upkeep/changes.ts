import { type Db, inTransaction } from '../../../../db/connect.ts'
import { notFound } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { expectChange, type Wanted } from '../../../http/version.ts'
import type { ChangedUpkeep, Upkeep } from '../printers/schema.ts'
import {
  endPeriod,
  expectDay,
  lockPrinter,
  shownUpkeep,
  startPeriod,
  upkeepColumns,
  whoNotesUpkeep,
} from './queries.ts'

/** @throws Problem 404 */
export async function readUpkeep(db: Db, id: string): Promise<Upkeep> {
  const row = await db.selectFrom('upkeep').select(upkeepColumns).where('id', '=', id).executeTakeFirst()
  if (!row) throw notFound('upkeep')
  return shownUpkeep(row)
}

/**
 * Corrects what was noted: the printer's owner, or a steward. With another day the plates are counted as if it had been
 * noted with that day from the first.
 *
 * @throws Problem 403, 404, 412, 422 for a day that has not come or is out of all reason
 */
export async function changeUpkeep(
  db: Db,
  viewer: Viewer,
  id: string,
  { on, ...columns }: ChangedUpkeep,
  { wanted, now }: { wanted: Wanted; now: Date },
): Promise<Upkeep> {
  if (on !== undefined) expectDay(on, now)
  return inTransaction(db, async (trx) => {
    const before = await lockUpkeep(trx, viewer, id, wanted)
    await trx
      .updateTable('upkeep')
      .set({ ...columns, ...(on !== undefined && { doneOn: on }), version: before.version + 1 })
      .where('id', '=', id)
      .execute()
    if (on !== undefined && on !== before.on) {
      await endPeriod(trx, before)
      await startPeriod(trx, { ...before, on })
    }
    return readUpkeep(trx, id)
  })
}

/**
 * Takes back what was noted by mistake: the printer's owner, or a steward. Its plates are then counted as if it had
 * never been noted.
 *
 * @throws Problem 403, 404, 412
 */
export async function takeUpkeepBack(db: Db, viewer: Viewer, id: string, wanted?: Wanted): Promise<void> {
  await inTransaction(db, async (trx) => {
    const before = await lockUpkeep(trx, viewer, id, wanted)
    await trx.deleteFrom('upkeep').where('id', '=', id).execute()
    await endPeriod(trx, before)
  })
}

/** The printer locked, and the upkeep as it then is. */
async function lockUpkeep(trx: Db, viewer: Viewer, id: string, wanted: Wanted): Promise<Upkeep> {
  const { printerId } = await readUpkeep(trx, id)
  const { ownerId } = await lockPrinter(trx, printerId)
  const upkeep = await readUpkeep(trx, id)
  expectChange(viewer, { ownerId, version: upkeep.version }, whoNotesUpkeep, wanted)
  return upkeep
}
