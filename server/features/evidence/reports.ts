import { sql } from 'kysely'
import { jsonArrayFrom } from 'kysely/helpers/postgres'
import type { Db } from '../../../db/connect.ts'
import { currentFit } from './model.ts'
import type { ReportEvidence } from './report-evidence.ts'

const reports = (db: Db) =>
  db
    .selectFrom('report')
    .innerJoin('supportSet', 'supportSet.id', 'report.supportSetId')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .innerJoin('file', 'file.id', 'revision.fileId')
    .select(['report.id', 'report.memberId', 'report.supportSetId', 'report.printerPeriodId as periodId'])
    .select(['file.id as fileId', 'file.sculptorId', 'supportSet.kind', 'tried', 'good', 'crowding', 'fileWeight'])
    .orderBy('report.id')

/** Reports with their failures, in the order of their ids; narrow it further by `report`, `revision` or `supportSet`. */
export const evidence = (db: Db) =>
  reports(db)
    .leftJoin('memberShare', (join) =>
      join
        .onRef('memberShare.memberId', '=', 'report.memberId')
        .onRef('memberShare.fileId', '=', 'file.id')
        .onRef('memberShare.kind', '=', 'supportSet.kind')
        .onRef('memberShare.periodId', '=', 'report.printerPeriodId')
        .on('memberShare.fit', '=', currentFit),
    )
    .leftJoin('memberStanding', (join) =>
      join.onRef('memberStanding.memberId', '=', 'report.memberId').on('memberStanding.fit', '=', currentFit),
    )
    .select(sql<number>`coalesce(member_share.weight, 1) * coalesce(member_standing.weight, 1)`.as('memberWeight'))
    .select((eb) =>
      jsonArrayFrom(
        eb
          .selectFrom('reportFailure')
          .leftJoin('failureMessage', (join) =>
            join
              .onRef('failureMessage.reportId', '=', 'reportFailure.reportId')
              .onRef('failureMessage.seen', '=', 'reportFailure.seen')
              .on('failureMessage.fit', '=', currentFit),
          )
          .select(['reportFailure.seen', 'copies', 'message'])
          .whereRef('reportFailure.reportId', '=', 'report.id')
          .orderBy('reportFailure.seen'),
      ).as('failures'),
    )

/** The same without what was made of the failures, and as if all members' reports counted in full. */
export const plainEvidence = (db: Db) =>
  reports(db)
    .select(sql<number>`1`.as('memberWeight'))
    .select((eb) =>
      jsonArrayFrom(
        eb
          .selectFrom('reportFailure')
          .select(['seen', 'copies', sql<null>`null`.as('message')])
          .whereRef('reportId', '=', 'report.id')
          .orderBy('seen'),
      ).as('failures'),
    )

/** What these reports are worth now. Read it before a change that takes their evidence back. */
export async function evidenceOf(db: Db, reportIds: readonly string[]): Promise<ReportEvidence[]> {
  if (reportIds.length === 0) return []
  return evidence(db).where('report.id', 'in', reportIds).execute()
}
