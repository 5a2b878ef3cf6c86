import { sql } from 'kysely'
import { jsonObjectFrom } from 'kysely/helpers/postgres'
import { v7 } from 'uuid'
import { type Db, inTransaction, often } from '../../../db/connect.ts'
import { mayChange } from '../../http/access.ts'
import { latestToday } from '../../http/day.ts'
import { forbidden, invalid, notFound, pointer } from '../../http/problem.ts'
import type { Viewer } from '../../http/session.ts'
import { expectVersion } from '../../http/version.ts'
import {
  ageOfSupports,
  evidenceOf,
  fitAsColumn,
  forgetReport,
  joinLearning,
  knowLearningState,
  learnReport,
  type ReportEvidence,
  relearnReports,
  worthAt,
} from '../evidence/queries.ts'
import { sculptorColumns } from '../files/rules.ts'
import { earliestDay, periodOfDay, periodOn } from '../printers/upkeep.ts'
import { labelBy } from '../revisions/queries.ts'
import { readReport, reportAuthor, shownReport } from './queries.ts'
import { type ChangedReport, type JudgedReport, type NewReport, wrongCounts } from './schema.ts'
import { judge, verdictOf } from './verdict.ts'

/*
 * Whatever changes a report takes part in the learning first, then keeps its file from getting other supports and its
 * printers from getting another upkeep period, then locks the report: always in this order, so that nobody waits in turn.
 */

/**
 * Keeps a report and learns from it, in one transaction. The verdict is found after it: nobody has to wait for that.
 *
 * @throws Problem 403 for another's printer, 422 (unknown supports or printer, a retired printer, a day in the future)
 */
export async function addReport(db: Db, viewer: Viewer, report: NewReport, now = new Date()): Promise<JudgedReport> {
  expectDay(report.printedOn, now)
  const { row, evidence } = await inTransaction(db, async (trx) => {
    await joinLearning(trx)
    const { supportSetId, printerId, printedOn, tried, good, crowding } = report
    const { printer, ...supports } = await lockPlaces(trx, viewer, report)
    const { fileId, sculptorId, kind } = supports
    const evidence: ReportEvidence = {
      ...{
        id: v7(),
        memberId: viewer.id,
        supportSetId,
        fileId,
        sculptorId,
        kind,
        tried,
        good,
        crowding,
        memberWeight: 1,
      },
      ...(await placeOf(trx, fileId, { supportSetId, printerId, printedOn })),
      failures: report.failures.map((failure) => ({ ...failure, message: null })),
    }
    const kept = await keepReport(trx, viewer, report, evidence)
    await learnReport(trx, evidence)
    return { row: { ...supports, ...report, ...kept, memberId: viewer.id, member: viewer.name, printer }, evidence }
  })
  return { ...shownReport(row, viewer), verdict: await judge(db, evidence) }
}

/**
 * What a new report's supports belong to, and its printer's name: `lockSupports` and `lockOwnPrinter` in one question.
 * In which order it locks them does not matter: whoever keeps reports out holds a file or a printer, and waits for neither.
 *
 * @throws Problem as they do
 */
async function lockPlaces(trx: Db, viewer: Viewer, { supportSetId, printerId }: NewReport) {
  const found = await supportsOf(trx, supportSetId)
    .innerJoin('printer', (join) =>
      join.on('printer.id', '=', printerId).on('printer.ownerId', '=', viewer.id).on('printer.state', '<>', 'retired'),
    )
    .select('printer.name as printer')
    .forKeyShare('printer')
    .executeTakeFirst()
  if (found) return found
  const supports = await lockSupports(trx, supportSetId)
  const { name: printer } = await lockOwnPrinter(trx, viewer, printerId)
  return { ...supports, printer }
}

/**
 * In one question: the upkeep period that a report belongs to, and what it is worth to its file. The learning's state
 * comes along, since it is wanted next.
 */
async function placeOf(
  trx: Db,
  fileId: string,
  { supportSetId, printerId, printedOn }: Pick<NewReport, 'supportSetId' | 'printerId' | 'printedOn'>,
): Promise<{ periodId: string; fileWeight: number }> {
  const { periodId, age, state } = await trx
    .selectNoFrom([
      fitAsColumn.as('state'),
      periodOfDay(trx, printerId, printedOn).as('periodId'),
      jsonObjectFrom(ageOfSupports(trx, fileId, supportSetId)).as('age'),
    ])
    .modifyFront(often)
    .executeTakeFirstOrThrow()
  if (!periodId) throw notFound('printer')
  knowLearningState(trx, state)
  return { periodId, fileWeight: worthAt(age) }
}

/** Writes a new report with its failures. @returns what the database adds */
async function keepReport(trx: Db, viewer: Viewer, report: NewReport, evidence: ReportEvidence) {
  const { id, periodId, fileWeight } = evidence
  const { supportSetId, printerId, printedOn, tried, good, crowding, remark } = report
  const { rows } = await sql<{ id: string; createdAt: Date; version: number }>`
    with ${often} kept as (
      insert into report (id, member_id, support_set_id, printer_id, printer_period_id, printed_on, tried, good, crowding,
        remark, file_weight)
      values (${id}, ${viewer.id}, ${supportSetId}, ${printerId}, ${periodId}, ${printedOn}, ${tried}, ${good}, ${crowding},
        ${remark}, ${fileWeight})
      returning id, created_at, version
    ), failed as (
      insert into report_failure (report_id, seen, copies)
      select ${id}::uuid, seen, copies
      from json_to_recordset(${JSON.stringify(report.failures)}::json) as given (seen text, copies integer)
    )
    select id, created_at, version from kept`.execute(trx)
  if (!rows[0]) throw new Error('a report was not kept')
  return rows[0]
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
    if ((await reportAuthor(trx, id)).memberId !== viewer.id) throw forbidden('A report is changed by whoever made it.')
    const before = await lockReport(trx, id, change)
    expectVersion(before.version, wanted)
    await expectGoodChange(trx, viewer, before, change, now)
    const evidence = await evidenceOf(trx, [id])
    expectGoodCounts({ ...before, failures: evidence[0]?.failures ?? [] }, change)
    const { failures, ...columns } = change
    const printerPeriodId = await periodAfter(trx, before, change)
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
    if (!mayChange(viewer, (await reportAuthor(trx, id)).memberId))
      throw forbidden('A report is removed by whoever made it, or by a steward.')
    const before = await lockReport(trx, id)
    expectVersion(before.version, wanted)
    await forgetReport(trx, id)
    await trx.deleteFrom('report').where('id', '=', id).execute()
  })
}

async function judged(trx: Db, viewer: Viewer, id: string): Promise<JudgedReport> {
  return { ...(await readReport(trx, viewer, id)), verdict: await verdictOf(trx, id) }
}

/**
 * What supports belong to; their file is kept from getting others until the transaction ends, so that the report is worth
 * what they make it.
 */
async function lockSupports(trx: Db, id: string) {
  const line = await supportsOf(trx, id).executeTakeFirst()
  if (!line) throw invalid('/supportSetId', 'There are no such supports.')
  return line
}

const supportsOf = (trx: Db, id: string) =>
  trx
    .selectFrom('supportSet')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .innerJoin('file', 'file.id', 'revision.fileId')
    .innerJoin('sculptor', 'sculptor.id', 'file.sculptorId')
    .modifyFront(often)
    .select(['file.id as fileId', 'supportSet.kind', 'revision.label', labelBy.as('labelBy')])
    .select(['file.title', ...sculptorColumns])
    .where('supportSet.id', '=', id)
    .forShare('file')

async function keepFailures(trx: Db, reportId: string, failures: NewReport['failures']): Promise<void> {
  if (failures.length === 0) return
  await trx
    .insertInto('reportFailure')
    .values(failures.map((failure) => ({ reportId, ...failure })))
    .execute()
}

/** The report, locked after its file and its printer, and those that it is to move to. */
async function lockReport(trx: Db, id: string, change: Pick<ChangedReport, 'supportSetId' | 'printerId'> = {}) {
  const found = await trx
    .selectFrom('report')
    .select(['printerId', 'supportSetId'])
    .where('id', '=', id)
    .executeTakeFirst()
  if (!found) throw notFound('report')
  const setIds = new Set([found.supportSetId, change.supportSetId ?? found.supportSetId])
  for (const setId of [...setIds].toSorted()) await lockSupports(trx, setId)
  const printerIds = [found.printerId, change.printerId ?? found.printerId]
  await trx.selectFrom('printer').select('id').where('id', 'in', printerIds).orderBy('id').forKeyShare().execute()
  const report = await trx
    .selectFrom('report')
    .select(['printerId', 'printerPeriodId', 'supportSetId', 'printedOn', 'tried', 'good', 'version'])
    .where('id', '=', id)
    .forUpdate()
    .executeTakeFirst()
  if (!report) throw notFound('report')
  return report
}

type Before = Awaited<ReturnType<typeof lockReport>>

async function expectGoodChange(trx: Db, viewer: Viewer, before: Before, change: ChangedReport, now: Date) {
  const { printerId, printedOn } = change
  if (printedOn !== undefined) expectDay(printedOn, now)
  if (printerId !== undefined && printerId !== before.printerId) await lockOwnPrinter(trx, viewer, printerId)
}

/** The upkeep period of a changed report: the one it is in, unless its printer or its day are others now. */
async function periodAfter(trx: Db, before: Before, { printerId, printedOn }: ChangedReport): Promise<string> {
  const place = { printerId: printerId ?? before.printerId, printedOn: printedOn ?? before.printedOn }
  const isSame = place.printerId === before.printerId && place.printedOn === before.printedOn
  return isSame ? before.printerPeriodId : await periodOn(trx, place.printerId, place.printedOn)
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

/** Keeps a printer from getting another upkeep period until the transaction ends. */
async function lockOwnPrinter(trx: Db, viewer: Viewer, id: string): Promise<{ name: string }> {
  const printer = await trx
    .selectFrom('printer')
    .modifyFront(often)
    .select(['ownerId', 'state', 'name'])
    .where('id', '=', id)
    .forKeyShare()
    .executeTakeFirst()
  if (!printer) throw invalid('/printerId', 'There is no such printer.')
  if (printer.ownerId !== viewer.id)
    throw forbidden("Reports are for one's own printers: let its owner report this one.")
  if (printer.state === 'retired') throw invalid('/printerId', 'This printer is retired.')
  return printer
}
