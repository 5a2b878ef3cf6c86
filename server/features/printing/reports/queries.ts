import { sql } from 'kysely'
import { z } from 'zod'
import { type Db, often } from '../../../../db/connect.ts'
import { day } from '../../../http/fields.ts'
import { cutPage, type Page, readCursor } from '../../../http/paging.ts'
import { notFound } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { plates, printsOf, shownPlate } from '../plates/queries.ts'
import type { Plate } from '../plates/schema.ts'
import type { Report, ReportList } from './schema.ts'

const reports = (db: Db) => plates(db).innerJoin('print', 'print.plateId', 'plate.id').select('print.id as printId')

type Row = Awaited<ReturnType<ReturnType<typeof reports>['executeTakeFirstOrThrow']>>

/** A print of a plate, as a report. @throws Error when it is another plate's */
export function reportOf({ id: plateId, prints, told: _told, ...facts }: Plate, printId: string): Report {
  const print = prints.find(({ id }) => id === printId)
  if (!print) throw new Error(`the plate ${plateId} has no print ${printId}`)
  return { ...print, plateId, ...facts }
}

async function shown(db: Db, rows: readonly Row[], viewer: Viewer): Promise<Report[]> {
  const own = await printsOf(db, [...new Set(rows.map(({ id }) => id))])
  return rows.map((row) => reportOf(shownPlate(row, own.get(row.id) ?? [], viewer), row.printId))
}

/** A page of the prints, the latest first; of one file, printer or member where asked for. */
export async function listReports(db: Db, viewer: Viewer, list: ReportList): Promise<Page<Report>> {
  const { limit, after, fileId, printerId, memberId } = list
  const cursor = readCursor(after, z.tuple([day, z.uuid()]))
  const rows = await reports(db)
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
    .$if(cursor !== undefined, (query) =>
      query.where(sql<boolean>`(plate.printed_on, print.id) < (${cursor?.[0]}::date, ${cursor?.[1]}::uuid)`),
    )
    .orderBy('printedOn', 'desc')
    .orderBy('print.id', 'desc')
    .limit(limit + 1)
    .execute()
  const cut = cutPage(rows, limit, (row) => [row.printedOn, row.printId])
  return { items: await shown(db, cut.items, viewer), next: cut.next }
}

/** @throws Problem 404 */
export async function readReport(db: Db, viewer: Viewer, id: string): Promise<Report> {
  const row = await reports(db).modifyFront(often).where('print.id', '=', id).executeTakeFirst()
  const [report] = row ? await shown(db, [row], viewer) : []
  if (!report) throw notFound('report')
  return report
}

/** Whose a report is, and its version. @throws Problem 404 */
export async function reportAuthor(db: Db, id: string) {
  const row = await db
    .selectFrom('print')
    .innerJoin('plate', 'plate.id', 'print.plateId')
    .select(['plateId', 'memberId', 'version'])
    .where('print.id', '=', id)
    .executeTakeFirst()
  if (!row) throw notFound('report')
  return row
}
