import { type RawBuilder, sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'
import { jsonRows } from '../../../../db/json.ts'
import { often, unseen } from '../../../../db/often.ts'
import { faceOf } from '../../../http/face.ts'
import type { Viewer } from '../../../http/session.ts'
import { sculptorColumns, shownFace, shownTitle } from '../../catalogue/files/rules.ts'
import { unitsDrawn } from '../../catalogue/measures/drawn.ts'
import { printsOfFiles, wetPlates } from '../../printing/plates/queries.ts'
import { nextRows, nextSteps } from '../../rosters/army/next.ts'

/** So many of each are shown. */
const mostShown = 5

/**
 * What stands beside the requests: prints that came off well lately, files whose print the member may report, plates
 * of theirs that are still to be told, what is next on their rosters, and what the requests' units are drawn by.
 */
export async function besideRequests(db: Db, viewer: Viewer, unitIds: string[]) {
  const [beside] = await readBeside(db, { memberId: viewer.id, unitIds })
  const { printed = [], unreported = [], wet = [], next = [], drawn = [] } = beside ?? {}
  return {
    printedWell: printed.map((row) => ({
      ...row,
      title: shownTitle(row, viewer),
      face: shownFace(row.face, row, viewer),
    })),
    needsReport: unreported.map((row) => ({ id: row.id, title: shownTitle(row, viewer) })),
    wet,
    drawn,
    steps: nextSteps(next),
  }
}

const readBeside = often((db, { memberId, unitIds }: { memberId: string; unitIds: string[] }) => {
  const member = unseen(memberId, 'uuid')
  return db.selectNoFrom([
    jsonRows(printedWell(db)).as('printed'),
    jsonRows(needsReport(db, member)).as('unreported'),
    jsonRows(wetPlates(db, member)).as('wet'),
    nextRows(member).as('next'),
    jsonRows(unitsDrawn(db, unitIds)).as('drawn'),
  ])
})

/** Recent good prints: at least four in five copies came out good; newest first. */
const printedWell = (db: Db) =>
  printsOfFiles(db)
    .innerJoin('plate', 'plate.id', 'print.plateId')
    .innerJoin('member', 'member.id', 'plate.memberId')
    .select(['print.id', 'tried', 'good', 'printedOn', 'member.name as member'])
    .select(['file.id as fileId', 'file.title', 'supportSet.kind', ...sculptorColumns])
    .select(faceOf.as('face'))
    .where((eb) => eb(eb('good', '*', 5), '>=', eb('tried', '*', 4)))
    .orderBy('print.id', 'desc')
    // In the text, so that the plan is one for a few rows.
    .limit(sql.lit(mostShown))

/** Files that the member has or settled on, and never reported a print of. */
function needsReport(db: Db, memberId: RawBuilder<string>) {
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
    .selectFrom('plate')
    .innerJoin('print', 'print.plateId', 'plate.id')
    .innerJoin('supportSet', 'supportSet.id', 'print.supportSetId')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .select('print.id')
    .where('plate.memberId', '=', memberId)
    .where('revision.fileId', '=', sql<string>`had.file_id`)
  return db
    .selectFrom(had.as('had'))
    .innerJoin('file', 'file.id', 'had.fileId')
    .innerJoin('sculptor', 'sculptor.id', 'file.sculptorId')
    .select(['file.id', 'file.title', ...sculptorColumns])
    .where((eb) => eb.not(eb.exists(reported)))
    .groupBy(['file.id', 'file.title', 'sculptor.id'])
    .orderBy((eb) => eb.fn.max('had.since'), 'desc')
    .limit(sql.lit(mostShown))
}
