import { type RawBuilder, sql } from 'kysely'
import { v7 } from 'uuid'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { latestToday } from '../../../http/day.ts'
import { invalid, notFound } from '../../../http/problem.ts'
import { heldRow } from '../../../http/rows.ts'
import type { Viewer } from '../../../http/session.ts'
import { expectChange, type Wanted } from '../../../http/version.ts'
import { markForFit } from '../../evidence/queries.ts'
import type { NewUpkeep, Upkeep } from '../printers/schema.ts'

/** What counts as upkeep was done before the service existed, but hardly before there were such printers. */
export const earliestDay = '2000-01-01'

/** What was done to a printer, newest first, as a query. */
export const upkeepOf = (db: Db, printerId: string) =>
  db
    .selectFrom('upkeep')
    .select(upkeepColumns)
    .where('printerId', '=', printerId)
    .orderBy('doneOn', 'desc')
    .orderBy('id', 'desc')

const upkeepColumns = ['id', 'printerId', 'kind', 'doneOn as on', 'remark', 'createdAt', 'version'] as const

/** @param row its instant may be a text, as out of JSON */
export const shownUpkeep = (row: Omit<Upkeep, 'createdAt'> & { createdAt: Date | string }): Upkeep => ({
  ...row,
  createdAt: new Date(row.createdAt).toISOString(),
})

/**
 * Notes what was done to a printer: its owner, or a steward. That day starts a new upkeep period; later plates that were
 * counted to the one before move over.
 *
 * @param wanted the printer's version that a steward has seen
 * @throws Problem 403, 404, 412, 422 for a day that has not come or is out of all reason, or for something else without words
 */
export async function noteUpkeep(
  db: Db,
  viewer: Viewer,
  printerId: string,
  { kind, on, remark }: NewUpkeep,
  { wanted, now }: { wanted: Wanted; now: Date },
): Promise<Upkeep> {
  expectDay(on, now)
  return inTransaction(db, async (trx) => {
    const printer = await lockPrinter(trx, printerId)
    expectChange(viewer, printer, whoNotesUpkeep, wanted)
    if (kind === 'other' && remark === '') throw invalid('/remark', 'Say what was done.')
    const row = await trx
      .insertInto('upkeep')
      .values({ id: v7(), printerId, kind, doneOn: on, remark, createdBy: viewer.id })
      .returning(upkeepColumns)
      .executeTakeFirstOrThrow()
    await startPeriod(trx, row)
    return shownUpkeep(row)
  })
}

const whoNotesUpkeep = 'Only a printer’s owner, or a steward, can note its upkeep or take it back.'

/** @throws Problem 422 for a day that has not come or is out of all reason */
function expectDay(on: string, now: Date): void {
  if (on > latestToday(now)) throw invalid('/on', 'This day is in the future.')
  if (on < earliestDay) throw invalid('/on', 'Nothing before 2000, please: check the year.')
}

/** Locked against plates on it, so that none is counted to a period that ends meanwhile. */
async function lockPrinter(trx: Db, id: string) {
  return heldRow(trx, 'printer', id, ['ownerId', 'version'])
}

/**
 * Starts a period on the day of this upkeep unless one does already, and moves the plates of later days to it. Those of
 * the day itself stay if they were told before the upkeep was noted: a plate that failed is why a printer is looked at.
 *
 * @param trx with the printer locked
 */
async function startPeriod(trx: Db, upkeep: { id: string; printerId: string; on: string }): Promise<void> {
  const { id, printerId, on } = upkeep
  await trx
    .insertInto('printerPeriod')
    .values({ id: v7(), printerId, startsOn: on })
    .onConflict((conflict) => conflict.columns(['printerId', 'startsOn']).doNothing())
    .execute()
  const periodId = await periodOn(trx, printerId, on)
  const notedAt = trx.selectFrom('upkeep').select('createdAt').where('id', '=', id)
  await trx
    .updateTable('plate')
    .set({ printerPeriodId: periodId })
    .where('printerPeriodId', '=', periodBefore(trx, printerId, on))
    .where((eb) => eb.or([eb('printedOn', '>', on), eb('printedOn', '=', on).and('createdAt', '>', notedAt)]))
    .execute()
  await markForFit(trx, null)
}

/**
 * After an upkeep of this day was taken away: the plates that it gave to its period go back to the one before, all of
 * them if nothing else was done that day, and the period ends. So everything is as if it had never been noted.
 *
 * @param trx with the printer locked
 */
async function endPeriod(trx: Db, { printerId, on }: { printerId: string; on: string }): Promise<void> {
  const { id: periodId } = await trx
    .selectFrom('printerPeriod')
    .select('id')
    .where('printerId', '=', printerId)
    .where('startsOn', '=', on)
    .executeTakeFirstOrThrow()
  const first = trx
    .selectFrom('upkeep')
    .select((eb) => eb.fn.min('createdAt').as('notedAt'))
    .where('printerId', '=', printerId)
    .where('doneOn', '=', on)
  const isLast = (await first.executeTakeFirstOrThrow()).notedAt === null
  await trx
    .updateTable('plate')
    .set({ printerPeriodId: periodBefore(trx, printerId, on) })
    .where('printerPeriodId', '=', periodId)
    .$if(!isLast, (query) => query.where('printedOn', '=', on).where('createdAt', '<', first))
    .execute()
  if (isLast) await trx.deleteFrom('printerPeriod').where('id', '=', periodId).execute()
  await markForFit(trx, null)
}

/** The period that one starting on this day follows, as a query of one value. */
const periodBefore = (db: Db, printerId: string, startsOn: string) =>
  db
    .selectFrom('printerPeriod')
    .select('id')
    .where('printerId', '=', printerId)
    .where((eb) => eb.or([eb('startsOn', 'is', null), eb('startsOn', '<', startsOn)]))
    .orderBy('startsOn', (order) => order.desc().nullsLast())
    .limit(sql.lit(1))

/**
 * The upkeep period that a plate of this day belongs to if it is told now: with upkeep on the day itself, the new one.
 *
 * @param trx in which the printer is locked, at least for `key share`, so that it gets no other period meanwhile
 * @throws Problem 404 without such a printer
 */
export async function periodOn(trx: Db, printerId: string, on: string): Promise<string> {
  const { rows } = await sql<{ id: string | null }>`select ${periodOfDay(sql.val(printerId), on)} as id`.execute(trx)
  const id = rows[0]?.id
  if (!id) throw notFound('printer')
  return id
}

/** The same in SQL, null without such a printer: what is committed before the printer is locked counts. */
export const periodOfDay = (printerId: RawBuilder<string>, on: string) =>
  sql<string | null>`period_on(${printerId}::uuid, ${on}::date)`

/** @throws Problem 404 */
export async function readUpkeep(db: Db, id: string): Promise<Upkeep> {
  const row = await db.selectFrom('upkeep').select(upkeepColumns).where('id', '=', id).executeTakeFirst()
  if (!row) throw notFound('upkeep')
  return shownUpkeep(row)
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
