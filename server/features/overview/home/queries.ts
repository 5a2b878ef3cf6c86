import type { Db } from '../../../../db/connect.ts'
import type { Viewer } from '../../../http/session.ts'
import { sculptorColumns, shownTitle } from '../../catalogue/files/rules.ts'

/** What came off the plates well lately: prints of which at least four in five copies were good, newest first. */
export async function printedWell(db: Db, viewer: Viewer, limit = 5) {
  const rows = await db
    .selectFrom('print')
    .innerJoin('plate', 'plate.id', 'print.plateId')
    .innerJoin('supportSet', 'supportSet.id', 'print.supportSetId')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .innerJoin('file', 'file.id', 'revision.fileId')
    .innerJoin('sculptor', 'sculptor.id', 'file.sculptorId')
    .innerJoin('member', 'member.id', 'plate.memberId')
    .select(['print.id', 'tried', 'good', 'printedOn', 'member.name as member'])
    .select(['file.id as fileId', 'file.title', 'supportSet.kind', ...sculptorColumns])
    .where((eb) => eb(eb('good', '*', 5), '>=', eb('tried', '*', 4)))
    .orderBy('print.id', 'desc')
    .limit(limit)
    .execute()
  return rows.map((row) => ({ ...row, title: shownTitle(row, viewer) }))
}

/** Files that the member has or settled on, and never reported a print of. */
export async function needsReport(db: Db, viewer: Viewer, limit = 5) {
  const had = db
    .selectFrom('archive')
    .select(['fileId', 'createdAt as since'])
    .where('memberId', '=', viewer.id)
    .unionAll(
      db
        .selectFrom('request')
        .select((eb) => [eb.ref('settledFileId').$notNull().as('fileId'), eb.ref('closedAt').$notNull().as('since')])
        .where('askerId', '=', viewer.id)
        .where('settledFileId', 'is not', null),
    )
  const reported = db
    .selectFrom('plate')
    .innerJoin('print', 'print.plateId', 'plate.id')
    .innerJoin('supportSet', 'supportSet.id', 'print.supportSetId')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .select('revision.fileId')
    .where('plate.memberId', '=', viewer.id)
  const rows = await db
    .selectFrom(had.as('had'))
    .innerJoin('file', 'file.id', 'had.fileId')
    .innerJoin('sculptor', 'sculptor.id', 'file.sculptorId')
    .select((eb) => ['file.id', 'file.title', eb.fn.max('had.since').as('since')])
    .select([...sculptorColumns])
    .where('file.id', 'not in', reported)
    .groupBy(['file.id', 'file.title', 'sculptor.id'])
    .orderBy('since', 'desc')
    .limit(limit)
    .execute()
  return rows.map((row) => ({ id: row.id, title: shownTitle(row, viewer), since: row.since }))
}
