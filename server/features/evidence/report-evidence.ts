import type { Crowding, Seen } from '../../../db/tables.ts'
import type { StoredSite } from '../../scoring/neighbourhood.ts'
import type { Message } from '../../scoring/network.ts'
import type { Report } from '../../scoring/reports.ts'
import { groupKey, type LineOfSculptor, lineKey } from './rules.ts'

/** A report as the scoring takes it, and what it has made of the failures so far. */
export interface ReportEvidence extends LineOfSculptor {
  id: string
  memberId: string
  supportSetId: string
  periodId: string
  tried: number
  good: number
  crowding: Crowding
  fileWeight: number
  /** what the member's evidence counts, and their reports on the same line and printer period (shares.ts) */
  memberWeight: number
  failures: { seen: Seen; copies: number; message: number[] | null }[]
}

/** A report for the scoring. */
export const asReport = (report: ReportEvidence): Report & { id: string } => ({
  id: report.id,
  supportSet: lineKey(report),
  group: groupKey(report),
  printerPeriod: report.periodId,
  crowding: report.crowding,
  tried: report.tried,
  good: report.good,
  fileWeight: report.fileWeight,
  memberWeight: report.memberWeight,
  failures: report.failures.map(({ seen, copies, message }) => ({ seen, copies, message: asMessage(message) })),
})

/** A report's failures as sites of the scoring. */
export const sitesOf = (report: ReportEvidence): StoredSite[] =>
  report.failures.map(({ seen, copies, message }) => ({
    reportId: report.id,
    seen,
    copies,
    tried: report.tried,
    fileWeight: report.fileWeight,
    memberWeight: report.memberWeight,
    supportSet: lineKey(report),
    printerPeriod: report.periodId,
    crowding: report.crowding,
    message: asMessage(message),
  }))

/** A site's message as it is stored. @throws RangeError unless it is six numbers */
export function asMessage(numbers: readonly number[] | null): Message | null {
  if (numbers === null) return null
  const [fileA, fileB, machineA, machineB, plateA, plateB, ...rest] = numbers
  if (plateB === undefined || rest.length > 0) throw new RangeError('a message is six numbers')
  // The first five are there, since the sixth is.
  return [fileA, fileB, machineA, machineB, plateA, plateB] as Message
}
