import { sql } from 'kysely'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { ifMissing } from '../../../../db/failures.ts'
import { type Bottle, bottle } from '../../../http/bottle.ts'
import { forbidden, notFound } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { sculptorColumns, shownTitle } from '../../catalogue/files/rules.ts'
import { printsOfFiles } from '../../printing/plates/queries.ts'
import { reportAuthor } from '../../printing/reports/queries.ts'
import { rosterToChange } from '../queries.ts'
import type { Printed } from './rules.ts'

interface Place {
  id: string
  entryId: string
  reportId: string
}

/**
 * Says that a report of the member's is of a plate for this entry; before, it may have counted for another one.
 *
 * @throws Problem 403 for another's roster or report, 404
 */
export async function tieReport(db: Db, viewer: Viewer, { id, entryId, reportId }: Place): Promise<void> {
  await inTransaction(db, async (trx) => {
    await rosterToChange(trx, viewer, id)
    await expectEntry(trx, id, entryId)
    if ((await reportAuthor(trx, reportId)).memberId !== viewer.id)
      throw forbidden('Only your own reports count for your roster.')
    await trx
      .insertInto('rosterPrint')
      .values({ printId: reportId, entryId })
      .onConflict((conflicting) => conflicting.column('printId').doUpdateSet({ entryId }))
      .execute()
      .catch(ifMissing(() => notFound('report')))
  })
}

/** Takes a report from its entry; the report itself stays. @throws Problem 403, 404 */
export async function untieReport(db: Db, viewer: Viewer, { id, entryId, reportId }: Place): Promise<void> {
  await inTransaction(db, async (trx) => {
    await rosterToChange(trx, viewer, id)
    await expectEntry(trx, id, entryId)
    const done = await trx
      .deleteFrom('rosterPrint')
      .where('printId', '=', reportId)
      .where('entryId', '=', entryId)
      .executeTakeFirst()
    if (done.numDeletedRows === 0n) throw notFound('report')
  })
}

async function expectEntry(trx: Db, rosterId: string, entryId: string): Promise<void> {
  await trx
    .selectFrom('rosterEntry')
    .select('id')
    .where('id', '=', entryId)
    .where('rosterId', '=', rosterId)
    .executeTakeFirstOrThrow(() => notFound('entry'))
}

/** The resin that a row of `plate` names. */
const namedBottle = sql<Bottle | null>`(select ${bottle} from resin where resin.id = plate.resin_id)`

const printed = (db: Db) =>
  printsOfFiles(db)
    .innerJoin('plate', 'plate.id', 'print.plateId')
    .select(['print.id', 'printedOn', 'tried', 'good', 'mended', 'mendedMinutes'])
    .select(['file.id as fileId', 'file.title', 'file.resinMl'])
    .select([...sculptorColumns])
    .select(
      sql<Printed['onPlate']>`(
        select json_build_object('tried', sum(tried), 'good', sum(good)) from print beside
        where beside.plate_id = print.plate_id
      )`.as('onPlate'),
    )
    .orderBy('printedOn', 'desc')
    .orderBy('print.id', 'desc')

/** The reports that count for a roster, the latest first, each with its entry. */
export const tiedReports = (db: Db, viewer: Viewer, rosterId: string) => reportsTied(db, viewer, [rosterId])

/** As `tiedReports`, for several rosters. */
export async function reportsTied(db: Db, viewer: Viewer, rosterIds: readonly string[]) {
  const rows = await printed(db)
    .innerJoin('rosterPrint', 'rosterPrint.printId', 'print.id')
    .innerJoin('rosterEntry', 'rosterEntry.id', 'rosterPrint.entryId')
    .select(['entryId', 'rosterEntry.rosterId', namedBottle.as('bottle')])
    .where('rosterEntry.rosterId', 'in', rosterIds)
    .execute()
  return rows.map((row) => ({ ...row, title: shownTitle(row, viewer) }))
}
