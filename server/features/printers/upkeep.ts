import { sql } from 'kysely'
import { v7 } from 'uuid'
import { type Db, inTransaction } from '../../../db/connect.ts'
import { mayChange } from '../../http/access.ts'
import { latestToday } from '../../http/day.ts'
import { forbidden, invalid, notFound } from '../../http/problem.ts'
import type { Viewer } from '../../http/session.ts'
import { expectVersion } from '../../http/version.ts'
import { evidenceOf, joinLearning, periods, relearnReports } from '../evidence/queries.ts'
import type { NewUpkeep, Upkeep } from './schema.ts'

/** What counts as upkeep was done before the service existed, but hardly before there were such printers. */
export const earliestDay = '2000-01-01'

/** The upkeep periods of a printer with what was reported in each, newest first. */
export async function periodsOf(db: Db, printerId: string) {
  const rows = await periods(db)
    .leftJoin('report', 'report.printerPeriodId', 'printerPeriod.id')
    .select((eb) => [
      eb.fn.count<number>('report.id').as('reports'),
      eb.fn.coalesce(eb.fn.sum<number>('report.tried'), eb.lit(0)).as('tried'),
      eb.fn.coalesce(eb.fn.sum<number>('report.good'), eb.lit(0)).as('good'),
    ])
    .where('printerPeriod.printerId', '=', printerId)
    .groupBy(['printerPeriod.id', 'periodSuccess.x', 'periodSuccess.y', 'periodSuccess.cases'])
    .orderBy('printerPeriod.startsOn', (order) => order.desc().nullsLast())
    .execute()
  // The time before any upkeep was noted says nothing while nothing was printed in it.
  return rows.filter((row) => row.startsOn !== null || row.reports > 0 || rows.length === 1)
}

/** What was done to a printer, newest first. */
export async function upkeepOf(db: Db, printerId: string) {
  const rows = await db
    .selectFrom('upkeep')
    .select(['id', 'kind', 'doneOn as on', 'remark', 'createdAt'])
    .where('printerId', '=', printerId)
    .orderBy('doneOn', 'desc')
    .orderBy('id', 'desc')
    .execute()
  return rows.map((row) => ({ ...row, createdAt: row.createdAt.toISOString() }))
}

/**
 * Notes what was done to a printer: its owner, or a steward. That day starts a new upkeep period; reports of later prints
 * that were counted to the one before move over, with what was learnt from them.
 *
 * @param wanted the printer's version that a steward has seen
 * @throws Problem 403, 404, 412, 422 for a day that has not come or is out of all reason
 */
export async function noteUpkeep(
  db: Db,
  viewer: Viewer,
  printerId: string,
  { kind, on, remark }: NewUpkeep,
  { wanted, now }: { wanted: number | undefined; now: Date },
): Promise<Upkeep> {
  if (on > latestToday(now)) throw invalid('/on', 'That day has not come yet.')
  if (on < earliestDay) throw invalid('/on', 'That is too long ago.')
  return inTransaction(db, async (trx) => {
    await joinLearning(trx)
    const printer = await lockPrinter(trx, printerId)
    if (!mayChange(viewer, printer.ownerId))
      throw forbidden("A printer's upkeep is noted by its owner, or by a steward.")
    expectVersion(printer.version, wanted)
    const row = await trx
      .insertInto('upkeep')
      .values({ id: v7(), printerId, kind, doneOn: on, remark, createdBy: viewer.id })
      .returning(['id', 'kind', 'doneOn as on', 'remark', 'createdAt'])
      .executeTakeFirstOrThrow()
    await startPeriod(trx, printerId, on)
    return { ...row, createdAt: row.createdAt.toISOString() }
  })
}

/** Locked against reports on it, so that none is counted to a period that ends meanwhile. */
async function lockPrinter(trx: Db, id: string) {
  const printer = await trx
    .selectFrom('printer')
    .select(['ownerId', 'version'])
    .where('id', '=', id)
    .forUpdate()
    .executeTakeFirst()
  if (!printer) throw notFound('printer')
  return printer
}

/**
 * Starts a period on this day unless one does already, and moves the reports of later days to it. Those of the day itself
 * stay: a plate that failed is why a printer is looked at, and it was reported before the upkeep was noted.
 */
async function startPeriod(trx: Db, printerId: string, startsOn: string): Promise<void> {
  const period = await trx
    .insertInto('printerPeriod')
    .values({ id: v7(), printerId, startsOn })
    .onConflict((conflict) => conflict.columns(['printerId', 'startsOn']).doNothing())
    .returning('id')
    .executeTakeFirst()
  if (!period) return
  const moving = await trx
    .selectFrom('report')
    .select('id')
    .where('printerPeriodId', '=', periodBefore(trx, printerId, startsOn))
    .where('printedOn', '>', startsOn)
    .orderBy('id')
    .forNoKeyUpdate()
    .execute()
  if (moving.length === 0) return
  const ids = moving.map(({ id }) => id)
  const before = await evidenceOf(trx, ids)
  await trx.updateTable('report').set({ printerPeriodId: period.id }).where('id', 'in', ids).execute()
  await relearnReports(trx, before)
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
 * The upkeep period that a print of this day belongs to if it is reported now: with upkeep on the day itself, the new one.
 *
 * @param trx in which the printer is locked, at least for `key share`, so that it gets no other period meanwhile
 * @throws Problem 404 without such a printer
 */
export async function periodOn(trx: Db, printerId: string, on: string): Promise<string> {
  const period = await periodOfDay(trx, printerId, on).executeTakeFirst()
  if (!period) throw notFound('printer')
  return period.id
}

/** The same as a query of one row. */
export const periodOfDay = (db: Db, printerId: string, on: string) =>
  db
    .selectFrom('printerPeriod')
    .select('id')
    .where('printerId', '=', printerId)
    .where((eb) => eb.or([eb('startsOn', 'is', null), eb('startsOn', '<=', on)]))
    .orderBy('startsOn', (order) => order.desc().nullsLast())
    .limit(sql.lit(1))
