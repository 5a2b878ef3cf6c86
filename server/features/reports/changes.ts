import { sql } from 'kysely'
import { v7 } from 'uuid'
import { type Db, inTransaction } from '../../../db/connect.ts'
import { mayChange } from '../../http/access.ts'
import { latestToday } from '../../http/day.ts'
import { forbidden, invalid, notFound, pointer } from '../../http/problem.ts'
import type { Viewer } from '../../http/session.ts'
import { expectVersion } from '../../http/version.ts'
import { evidenceOf, forgetReport, joinLearning, learnReport, relearnReports } from '../evidence/queries.ts'
import { earliestDay, periodOn } from '../printers/upkeep.ts'
import { readReport } from './queries.ts'
import { type ChangedReport, type JudgedReport, type NewReport, wrongCounts } from './schema.ts'
import { verdictOf } from './verdict.ts'

/*
 * Whatever changes a report takes part in the learning first, then keeps its printers from getting another upkeep
 * period, then locks the report: always in this order, so that nobody waits in turn.
 */

/**
 * Keeps a report and learns from it, in one transaction.
 *
 * @throws Problem 403 for another's printer, 422 (unknown supports or printer, a retired printer, a day in the future)
 */
export async function addReport(db: Db, viewer: Viewer, report: NewReport, now = new Date()): Promise<JudgedReport> {
  const { failures, ...columns } = report
  expectDay(report.printedOn, now)
  return inTransaction(db, async (trx) => {
    await joinLearning(trx)
    await expectSupportSet(trx, report.supportSetId)
    await expectOwnPrinter(trx, viewer, report.printerId)
    const id = v7()
    const printerPeriodId = await periodOn(trx, report.printerId, report.printedOn)
    // The same clock that dates the fits: a report that waited for one comes after it.
    const createdAt = sql<Date>`clock_timestamp()`
    await trx
      .insertInto('report')
      .values({ id, memberId: viewer.id, ...columns, printerPeriodId, createdAt })
      .execute()
    await keepFailures(trx, id, failures)
    await learnReport(trx, id)
    return judged(trx, viewer, id)
  })
}

/**
 * Changes a report of one's own: takes the old evidence back and learns the new.
 *
 * @param wanted the version that is meant to be changed, if the caller said one
 * @throws Problem 403, 404, 412, 422 as `addReport`, and when the counts don't add up after the change
 */
export async function changeReport(
  db: Db,
  viewer: Viewer,
  id: string,
  change: ChangedReport,
  { wanted, now = new Date() }: { wanted: number | undefined; now?: Date },
): Promise<JudgedReport> {
  return inTransaction(db, async (trx) => {
    await joinLearning(trx)
    const before = await lockReport(trx, id, change.printerId)
    if (before.memberId !== viewer.id) throw forbidden('A report is changed by whoever made it.')
    expectVersion(before.version, wanted)
    await expectGoodChange(trx, viewer, before, change, now)
    const evidence = await evidenceOf(trx, [id])
    expectGoodCounts({ ...before, failures: evidence[0]?.failures ?? [] }, change)
    const { failures, ...columns } = change
    const [printerId, on] = [change.printerId ?? before.printerId, change.printedOn ?? before.printedOn]
    const printerPeriodId = await periodOn(trx, printerId, on)
    await trx
      .updateTable('report')
      .set({ ...columns, printerPeriodId, version: sql<number>`version + 1` })
      .where('id', '=', id)
      .execute()
    if (failures) {
      await trx.deleteFrom('reportFailure').where('reportId', '=', id).execute()
      await keepFailures(trx, id, failures)
    }
    // A remark teaches nothing.
    if (Object.keys(change).some((field) => field !== 'remark')) await relearnReports(trx, evidence)
    return judged(trx, viewer, id)
  })
}

/**
 * Removes a report, and what was learnt from it: whoever made it, or a steward.
 *
 * @param wanted the version that is meant to be removed, if the caller said one
 * @throws Problem 403, 404, 412
 */
export async function removeReport(db: Db, viewer: Viewer, id: string, wanted?: number): Promise<void> {
  await inTransaction(db, async (trx) => {
    await joinLearning(trx)
    const before = await lockReport(trx, id)
    if (!mayChange(viewer, before.memberId)) throw forbidden('A report is removed by whoever made it, or by a steward.')
    expectVersion(before.version, wanted)
    await forgetReport(trx, id)
    await trx.deleteFrom('report').where('id', '=', id).execute()
  })
}

async function judged(trx: Db, viewer: Viewer, id: string): Promise<JudgedReport> {
  return { ...(await readReport(trx, viewer, id)), verdict: await verdictOf(trx, id) }
}

async function keepFailures(trx: Db, reportId: string, failures: NewReport['failures']): Promise<void> {
  if (failures.length === 0) return
  await trx
    .insertInto('reportFailure')
    .values(failures.map((failure) => ({ reportId, ...failure })))
    .execute()
}

/** The report, locked after its printer and the one that it is to move to. */
async function lockReport(trx: Db, id: string, newPrinterId?: string) {
  const found = await trx.selectFrom('report').select('printerId').where('id', '=', id).executeTakeFirst()
  if (!found) throw notFound('report')
  const printerIds = newPrinterId ? [found.printerId, newPrinterId] : [found.printerId]
  await trx.selectFrom('printer').select('id').where('id', 'in', printerIds).orderBy('id').forKeyShare().execute()
  const report = await trx
    .selectFrom('report')
    .select(['memberId', 'printerId', 'supportSetId', 'printedOn', 'tried', 'good', 'version'])
    .where('id', '=', id)
    .forUpdate()
    .executeTakeFirst()
  if (!report) throw notFound('report')
  return report
}

type Before = Awaited<ReturnType<typeof lockReport>>

async function expectGoodChange(trx: Db, viewer: Viewer, before: Before, change: ChangedReport, now: Date) {
  const { supportSetId, printerId, printedOn } = change
  if (printedOn !== undefined) expectDay(printedOn, now)
  if (supportSetId !== undefined && supportSetId !== before.supportSetId) await expectSupportSet(trx, supportSetId)
  if (printerId !== undefined && printerId !== before.printerId) await expectOwnPrinter(trx, viewer, printerId)
}

/** As the counts stand after the change. */
function expectGoodCounts(before: Pick<NewReport, 'tried' | 'good' | 'failures'>, change: ChangedReport): void {
  const { tried, good, failures } = change
  const wrong = wrongCounts({
    tried: tried ?? before.tried,
    good: good ?? before.good,
    failures: failures ?? before.failures,
  })
  if (wrong) throw invalid(pointer(wrong[0]), wrong[1])
}

function expectDay(printedOn: string, now: Date): void {
  if (printedOn > latestToday(now)) throw invalid('/printedOn', 'That day has not come yet.')
  if (printedOn < earliestDay) throw invalid('/printedOn', 'That is too long ago.')
}

async function expectSupportSet(trx: Db, id: string): Promise<void> {
  const row = await trx.selectFrom('supportSet').select('id').where('id', '=', id).executeTakeFirst()
  if (!row) throw invalid('/supportSetId', 'There are no such supports.')
}

async function expectOwnPrinter(trx: Db, viewer: Viewer, id: string): Promise<void> {
  const printer = await trx.selectFrom('printer').select(['ownerId', 'state']).where('id', '=', id).executeTakeFirst()
  if (!printer) throw invalid('/printerId', 'There is no such printer.')
  if (printer.ownerId !== viewer.id)
    throw forbidden("Reports are for one's own printers: let its owner report this one.")
  if (printer.state === 'retired') throw invalid('/printerId', 'This printer is retired.')
}
