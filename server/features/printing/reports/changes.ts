import type { Db } from '../../../../db/connect.ts'
import { invalid, notFound, pointer } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import type { Wanted } from '../../../http/version.ts'
import { addPlate, changePlate } from '../plates/changes.ts'
import { type Wrong, wrongCounts, wrongPrints } from '../plates/rules.ts'
import type { ChangedPrint, Plate } from '../plates/schema.ts'
import { reportAuthor, reportOf } from './queries.ts'
import type { ChangedReport, NewReport, Report } from './schema.ts'

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
