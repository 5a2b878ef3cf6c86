import { sql } from 'kysely'
import { jsonArrayFrom } from 'kysely/helpers/postgres'
import { z } from 'zod'
import { type Db, often } from '../../../db/connect.ts'
import { day } from '../../http/fields.ts'
import { cutPage, type Page, readCursor } from '../../http/paging.ts'
import { notFound } from '../../http/problem.ts'
import type { Viewer } from '../../http/session.ts'
import { seen as seenKinds } from '../../scoring/labels.ts'
import { discreet, sculptorColumns, shownTitle } from '../files/rules.ts'
import { labelBy } from '../revisions/queries.ts'
import type { Report, ReportList } from './schema.ts'

const reports = (db: Db) =>
  db
    .selectFrom('report')
    .innerJoin('member', 'member.id', 'report.memberId')
    .innerJoin('printer', 'printer.id', 'report.printerId')
    .innerJoin('supportSet', 'supportSet.id', 'report.supportSetId')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .innerJoin('file', 'file.id', 'revision.fileId')
    .innerJoin('sculptor', 'sculptor.id', 'file.sculptorId')
    .select(['report.id', 'report.memberId', 'member.name as member', 'report.printerId', 'printer.name as printer'])
    .select(['report.supportSetId', 'supportSet.kind', 'revision.label', 'file.id as fileId', 'file.title'])
    .select(['printedOn', 'tried', 'good', 'crowding', 'report.remark', 'report.createdAt', 'report.version'])
    .select([labelBy.as('labelBy'), ...sculptorColumns])
    .select((eb) =>
      jsonArrayFrom(
        eb.selectFrom('reportFailure').select(['seen', 'copies']).whereRef('reportId', '=', 'report.id'),
      ).as('failures'),
    )

type Row = Awaited<ReturnType<ReturnType<typeof reports>['executeTakeFirstOrThrow']>>

const place = (failure: Row['failures'][number]) => seenKinds.indexOf(failure.seen)

/** A report as the viewer may see it. */
export function shownReport(row: Row, viewer: Viewer): Report {
  return {
    id: row.id,
    member: { id: row.memberId, name: row.member },
    file: { id: row.fileId, title: shownTitle(row, viewer) },
    supportSet: { id: row.supportSetId, kind: row.kind, revision: discreet(row.label, row, viewer, row.labelBy) },
    printer: { id: row.printerId, name: row.printer },
    printedOn: row.printedOn,
    tried: row.tried,
    good: row.good,
    failures: row.failures.toSorted((one, other) => place(one) - place(other)),
    crowding: row.crowding,
    remark: discreet(row.remark, row, viewer, row.memberId),
    createdAt: row.createdAt.toISOString(),
    version: row.version,
  }
}

/** A page of the reports, the latest prints first; of one file, printer or member where asked for. */
export async function listReports(db: Db, viewer: Viewer, list: ReportList): Promise<Page<Report>> {
  const { limit, after, fileId, printerId, memberId } = list
  const cursor = readCursor(after, z.tuple([day, z.uuid()]))
  const rows = await reports(db)
    .$if(fileId !== undefined, (query) => query.where('revision.fileId', '=', fileId ?? ''))
    .$if(printerId !== undefined, (query) => query.where('report.printerId', '=', printerId ?? ''))
    .$if(memberId !== undefined, (query) => query.where('report.memberId', '=', memberId ?? ''))
    .$if(cursor !== undefined, (query) =>
      query.where(sql<boolean>`(report.printed_on, report.id) < (${cursor?.[0]}::date, ${cursor?.[1]}::uuid)`),
    )
    .orderBy('printedOn', 'desc')
    .orderBy('report.id', 'desc')
    .limit(limit + 1)
    .execute()
  const cut = cutPage(rows, limit, (row) => [row.printedOn, row.id])
  return { items: cut.items.map((row) => shownReport(row, viewer)), next: cut.next }
}

/** @throws Problem 404 */
export async function readReport(db: Db, viewer: Viewer, id: string): Promise<Report> {
  const row = await reports(db).modifyFront(often).where('report.id', '=', id).executeTakeFirst()
  if (!row) throw notFound('report')
  return shownReport(row, viewer)
}

/** Whose a report is, and its version. @throws Problem 404 */
export async function reportAuthor(db: Db, id: string) {
  const row = await db.selectFrom('report').select(['memberId', 'version']).where('id', '=', id).executeTakeFirst()
  if (!row) throw notFound('report')
  return row
}
