import type { Db } from '../../../db/connect.ts'

/** What came off the plates well lately: reports of which at least four in five copies were good, newest first. */
export async function printedWell(db: Db, limit = 5) {
  return db
    .selectFrom('report')
    .innerJoin('supportSet', 'supportSet.id', 'report.supportSetId')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .innerJoin('file', 'file.id', 'revision.fileId')
    .innerJoin('member', 'member.id', 'report.memberId')
    .select(['report.id', 'report.tried', 'report.good', 'report.printedOn', 'member.name as member'])
    .select(['file.id as fileId', 'file.title', 'supportSet.kind'])
    .where((eb) => eb(eb('report.good', '*', 5), '>=', eb('report.tried', '*', 4)))
    .orderBy('report.id', 'desc')
    .limit(limit)
    .execute()
}

/** Files that the member has or settled on, and never reported a print of. */
export async function needsReport(db: Db, memberId: string, limit = 5) {
  const had = db
    .selectFrom('archive')
    .select(['fileId', 'createdAt as since'])
    .where('memberId', '=', memberId)
    .unionAll(
      db
        .selectFrom('request')
        .select((eb) => [eb.ref('settledFileId').$notNull().as('fileId'), eb.ref('closedAt').$notNull().as('since')])
        .where('askerId', '=', memberId)
        .where('settledFileId', 'is not', null),
    )
  const reported = db
    .selectFrom('report')
    .innerJoin('supportSet', 'supportSet.id', 'report.supportSetId')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .select('revision.fileId')
    .where('report.memberId', '=', memberId)
  return db
    .selectFrom(had.as('had'))
    .innerJoin('file', 'file.id', 'had.fileId')
    .select((eb) => ['file.id', 'file.title', eb.fn.max('had.since').as('since')])
    .where('file.id', 'not in', reported)
    .groupBy(['file.id', 'file.title'])
    .orderBy('since', 'desc')
    .limit(limit)
    .execute()
}
