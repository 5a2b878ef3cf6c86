import type { Db } from '../../../db/connect.ts'
import type { SetEvidence } from '../../scoring/verdict.ts'
import { lineKey } from './rules.ts'

/** Of a line that nobody has printed. */
export const noEvidence: SetEvidence = { copiesByPeriod: [], failures: [] }

/**
 * Every line of the files with its copies by printer period and what was seen on the failed ones: as much as tells
 * whether file and printer can be told apart.
 *
 * @returns by line; those that nobody has printed are missing
 */
export async function lineEvidence(db: Db, fileIds: readonly string[]): Promise<Map<string, SetEvidence>> {
  const reports = db
    .selectFrom('report')
    .innerJoin('supportSet', 'supportSet.id', 'report.supportSetId')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .where('revision.fileId', 'in', fileIds)
  const copies = await reports
    .select(['revision.fileId', 'supportSet.kind'])
    .select((eb) => eb.fn.sum<number>('report.tried').as('copies'))
    .groupBy(['revision.fileId', 'supportSet.kind', 'report.printerPeriodId'])
    .execute()
  const failures = await reports
    .innerJoin('reportFailure', 'reportFailure.reportId', 'report.id')
    .select(['revision.fileId', 'supportSet.kind', 'reportFailure.seen'])
    .select((eb) => eb.fn.sum<number>('reportFailure.copies').as('copies'))
    .groupBy(['revision.fileId', 'supportSet.kind', 'reportFailure.seen'])
    .execute()
  const failuresOf = Map.groupBy(failures, lineKey)
  const lines = [...Map.groupBy(copies, lineKey)]
  return new Map(
    lines.map(([key, rows]) => [
      key,
      { copiesByPeriod: rows.map((row) => row.copies), failures: failuresOf.get(key) ?? [] },
    ]),
  )
}
