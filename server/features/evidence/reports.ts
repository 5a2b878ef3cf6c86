import { jsonArrayFrom } from 'kysely/helpers/postgres'
import type { Db } from '../../../db/connect.ts'
import type { Crowding, Seen } from '../../../db/tables.ts'
import type { StoredSite } from '../../scoring/neighbourhood.ts'
import type { Message } from '../../scoring/network.ts'
import type { Report } from '../../scoring/reports.ts'
import { groupKey, type LineOfSculptor, lineKey } from './rules.ts'

/** A report as the scoring takes it, and what it has made of the failures so far. */
export interface ReportEvidence extends LineOfSculptor {
  id: string
  supportSetId: string
  periodId: string
  tried: number
  good: number
  crowding: Crowding
  fileWeight: number
  memberWeight: number
  failures: { seen: Seen; copies: number; messages: number[] | null }[]
}

/** Reports with their failures, in the order of their ids; narrow it further by `report`, `revision` or `supportSet`. */
export const evidence = (db: Db) =>
  db
    .selectFrom('report')
    .innerJoin('supportSet', 'supportSet.id', 'report.supportSetId')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .innerJoin('file', 'file.id', 'revision.fileId')
    .select(['report.id', 'report.supportSetId', 'file.id as fileId', 'file.sculptorId', 'supportSet.kind'])
    .select(['report.printerPeriodId as periodId', 'tried', 'good', 'crowding', 'fileWeight', 'memberWeight'])
    .select((eb) =>
      jsonArrayFrom(
        eb
          .selectFrom('reportFailure')
          .select(['seen', 'copies', 'messages'])
          .whereRef('reportId', '=', 'report.id')
          .orderBy('seen'),
      ).as('failures'),
    )
    .orderBy('report.id')

/** What these reports are worth now. Read it before a change that takes their evidence back. */
export async function evidenceOf(db: Db, reportIds: readonly string[]): Promise<ReportEvidence[]> {
  if (reportIds.length === 0) return []
  return evidence(db).where('report.id', 'in', reportIds).execute()
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
  failures: report.failures.map(({ seen, copies, messages }) => ({ seen, copies, message: asMessage(messages) })),
})

/** A report's failures as sites of the scoring. */
export const sitesOf = (report: ReportEvidence): StoredSite[] =>
  report.failures.map(({ seen, copies, messages }) => ({
    reportId: report.id,
    seen,
    copies,
    tried: report.tried,
    fileWeight: report.fileWeight,
    memberWeight: report.memberWeight,
    supportSet: lineKey(report),
    printerPeriod: report.periodId,
    crowding: report.crowding,
    message: asMessage(messages),
  }))

function asMessage(numbers: readonly number[] | null): Message | null {
  if (numbers === null) return null
  const [fileA, fileB, machineA, machineB, plateA, plateB, ...rest] = numbers
  if (plateB === undefined || rest.length > 0) throw new RangeError('a message is six numbers')
  // The first five are there, since the sixth is.
  return [fileA, fileB, machineA, machineB, plateA, plateB] as Message
}
