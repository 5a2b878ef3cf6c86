import { sql } from 'kysely'
import { z } from 'zod'
import type { Db } from '../../../../db/connect.ts'
import { often } from '../../../../db/often.ts'
import { day } from '../../../http/fields.ts'
import { cutPage, type Page, readCursor, shownPage } from '../../../http/paging.ts'
import { invalid, notFound, pointer } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import type { Wanted } from '../../../http/version.ts'
import { addPlate, changePlate } from '../plates/changes.ts'
import { plates, shownPlate } from '../plates/queries.ts'
import { type Wrong, wrongCounts, wrongPrints } from '../plates/rules.ts'
import type { ChangedPrint, Plate } from '../plates/schema.ts'
import type { ChangedReport, NewReport, Report, ReportList } from './schema.ts'

const reports = (db: Db) => plates(db).innerJoin('print', 'print.plateId', 'plate.id').select('print.id as printId')

type Row = Awaited<ReturnType<ReturnType<typeof reports>['executeTakeFirstOrThrow']>>

/** A print of a plate, as a report. @throws Error when it is another plate's */
function reportOf({ id: plateId, prints, told: _told, ...facts }: Plate, printId: string): Report {
  const print = prints.find(({ id }) => id === printId)
  if (!print) throw new Error(`the plate ${plateId} has no print ${printId}`)
  return { ...print, plateId, ...facts }
}

const shown = (row: Row, viewer: Viewer): Report => reportOf(shownPlate(row, viewer), row.printId)

/** A page of the prints, the latest first; of one file, printer or member where asked for. */
export async function listReports(db: Db, viewer: Viewer, list: ReportList): Promise<Page<Report>> {
  const { limit, after, fileId, printerId, memberId } = list
  const [printedOn, id] = readCursor(after, z.tuple([day, z.uuid()])) ?? []
  const rows = await someReports(db, { printedOn, id, fileId, printerId, memberId, most: limit + 1 })
  return shownPage(cutPage(rows, limit, 'printedOn', 'printId'), (row) => shown(row, viewer))
}

interface Some extends Pick<ReportList, 'fileId' | 'printerId' | 'memberId'> {
  /** of the last one before */
  printedOn: string | undefined
  id: string | undefined
  most: number
}

/** Which they are is found out before anything else is read of them: of one file there may be hundreds. */
const someReports = often((db, { printedOn, id, fileId, printerId, memberId, most }: Some) => {
  const some = db
    .selectFrom('print')
    .innerJoin('plate', 'plate.id', 'print.plateId')
    .select('print.id')
    .$if(fileId !== undefined, (query) =>
      query.where('print.supportSetId', 'in', (eb) =>
        eb
          .selectFrom('supportSet')
          .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
          .select('supportSet.id')
          .where('revision.fileId', '=', fileId ?? ''),
      ),
    )
    .$if(printerId !== undefined, (query) => query.where('plate.printerId', '=', printerId ?? ''))
    .$if(memberId !== undefined, (query) => query.where('plate.memberId', '=', memberId ?? ''))
    .$if(id !== undefined, (query) =>
      query.where(sql<boolean>`(plate.printed_on, print.id) < (${printedOn}::date, ${id}::uuid)`),
    )
    .orderBy('printedOn', 'desc')
    .orderBy('print.id', 'desc')
    .limit(most)
  return reports(db)
    .where(sql<boolean>`print.id = any(array(${some}))`)
    .orderBy('printedOn', 'desc')
    .orderBy('print.id', 'desc')
})

/** @throws Problem 404 */
export async function readReport(db: Db, viewer: Viewer, id: string): Promise<Report> {
  const [row] = await reportById(db, { id })
  if (!row) throw notFound('report')
  return shown(row, viewer)
}

const reportById = often((db, { id }: { id: string }) => reports(db).where('print.id', '=', id))

/** Whose a report is, and its version. @throws Problem 404 */
export async function reportAuthor(db: Db, id: string) {
  return db
    .selectFrom('print')
    .innerJoin('plate', 'plate.id', 'print.plateId')
    .select(['plateId', 'memberId', 'version'])
    .where('print.id', '=', id)
    .executeTakeFirstOrThrow(() => notFound('report'))
}

/** A report is the plate of one print, so that is what its fields belong to. */
const alone = () => []

/** Keeps a report, as `addPlate` keeps a plate. @throws Problem as it does */
export async function addReport(db: Db, viewer: Viewer, report: NewReport, now = new Date()): Promise<OfPlate> {
  const { printerId, printedOn, crowding, resinId, remark, ...print } = report
  const whole = { printerId, printedOn, crowding, resinId, remark, told: true, prints: [print] }
  const plate = await addPlate(db, viewer, whole, { now, at: alone })
  return { plate, report: reportOf(plate, plate.prints[0]?.id ?? '') }
}

/**
 * Changes a report of one's own, and its plate where a field is the plate's.
 *
 * @throws Problem 403, 404, 412, 422 as `changePlate`, and when the counts don't add up after the change
 */
export async function changeReport(
  db: Db,
  viewer: Viewer,
  id: string,
  { printerId, printedOn, crowding, resinId, remark, ...change }: ChangedReport,
  how: { wanted: Wanted; now?: Date },
): Promise<OfPlate> {
  const { plateId } = await reportAuthor(db, id)
  const prints = Object.keys(change).length === 0 ? undefined : withChange(id, change)
  const whole = { printerId, printedOn, crowding, resinId, remark, prints }
  const plate = await changePlate(db, viewer, plateId, whole, { ...how, at: alone })
  return { plate, report: reportOf(plate, id) }
}

/** A report, and the plate that its verdict is about. */
export interface OfPlate {
  plate: Plate
  report: Report
}

type OfPrint = Omit<ChangedReport, 'printerId' | 'printedOn' | 'crowding' | 'resinId' | 'remark'>

const withChange = (id: string, change: OfPrint) => (before: ChangedPrint[]) => {
  if (!before.some((print) => print.id === id)) throw notFound('report')
  const after = before.map((print) => (print.id === id ? changed(print, change) : print))
  const print = after.find((one) => one.id === id)
  if (print) expectRight(wrongCounts(print))
  const wrong = wrongPrints(after)
  if (wrong) throw invalid('/supportSetId', wrong[1])
  return after
}

/** Where nothing is mended any more, it took no time. */
function changed(print: ChangedPrint, change: OfPrint): ChangedPrint {
  const { supportSetId = print.supportSetId, tried = print.tried, good = print.good } = change
  const { mended = print.mended, failures = print.failures } = change
  const { mendedMinutes = mended === 0 ? null : print.mendedMinutes } = change
  return { ...print, supportSetId, tried, good, mended, mendedMinutes, failures }
}

function expectRight(wrong: Wrong | null): void {
  if (wrong) throw invalid(pointer(wrong[0]), wrong[1])
}
