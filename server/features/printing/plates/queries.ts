import { type ExpressionBuilder, type RawBuilder, sql } from 'kysely'
import { jsonArrayFrom } from 'kysely/helpers/postgres'
import { z } from 'zod'
import type { Db } from '../../../../db/connect.ts'
import { jsonRows } from '../../../../db/json.ts'
import { often } from '../../../../db/often.ts'
import type { Tables } from '../../../../db/tables.ts'
import { day } from '../../../http/fields.ts'
import { cutPage, type Page, readCursor, shownPage } from '../../../http/paging.ts'
import { notFound } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { seen as seenKinds } from '../../../scoring/labels.ts'
import { discreet, type SculptorRow, sculptorColumns, shownTitle } from '../../catalogue/files/rules.ts'
import { labelBy } from '../../catalogue/revisions/queries.ts'
import type { Plate, PlateList, Print } from './schema.ts'

/** What supports belong to. */
export const supportColumns = [
  ...(['supportSet.kind', 'revision.label', 'file.id as fileId', 'file.title'] as const),
  labelBy.as('labelBy'),
  ...sculptorColumns,
] as const

/** What was seen on the failed copies of each row of `print`. */
export const failuresOf = (eb: ExpressionBuilder<Tables, 'print'>) =>
  jsonArrayFrom(eb.selectFrom('printFailure').select(['seen', 'copies']).whereRef('printId', '=', 'print.id'))

/** Prints with what they are of. */
export const printsOfFiles = (db: Db) =>
  db
    .selectFrom('print')
    .innerJoin('supportSet', 'supportSet.id', 'print.supportSetId')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .innerJoin('file', 'file.id', 'revision.fileId')
    .innerJoin('sculptor', 'sculptor.id', 'file.sculptorId')

const prints = (db: Db) =>
  printsOfFiles(db)
    .select(['print.id', 'plateId', 'supportSetId', 'tried', 'good', 'mended', 'mendedMinutes'])
    .select([...supportColumns])
    .select((eb) => failuresOf(eb).as('failures'))
    .orderBy('print.id')

/** A row of `prints`. */
export interface PrintRow extends SculptorRow, Omit<Print, 'file' | 'supportSet'> {
  supportSetId: string
  fileId: string
  title: string
  kind: Print['supportSet']['kind']
  label: string
  /** whose word the label is, where it is one member's */
  labelBy: string | null
}

const place = ({ seen }: Print['failures'][number]) => seenKinds.indexOf(seen)

/** A print as the viewer may see it. */
export const shownPrint = (row: PrintRow, viewer: Viewer): Print => ({
  id: row.id,
  file: { id: row.fileId, title: shownTitle(row, viewer) },
  supportSet: { id: row.supportSetId, kind: row.kind, revision: discreet(row.label, row, viewer, row.labelBy) },
  tried: row.tried,
  good: row.good,
  mended: row.mended,
  mendedMinutes: row.mendedMinutes,
  failures: row.failures.toSorted((one, other) => place(one) - place(other)),
})

/** The remark on a plate may be about any of its files. @param by who wrote it */
export const shownRemark = (remark: string, about: readonly SculptorRow[], viewer: Viewer, by: string) =>
  about.reduce((words, sculptor) => discreet(words, sculptor, viewer, by), remark)

/** All prints of a plate, in the order in which they were told. */
export const printsOf = (db: Db, plateId: string): Promise<PrintRow[]> => printsOfPlate(db, { plateId })

const printsOfPlate = often((db, { plateId }: { plateId: string }) => prints(db).where('plateId', '=', plateId))

export const plates = (db: Db) =>
  db
    .selectFrom('plate')
    .innerJoin('member', 'member.id', 'plate.memberId')
    .innerJoin('printer', 'printer.id', 'plate.printerId')
    .leftJoin('resin', 'resin.id', 'plate.resinId')
    .select(['plate.resinId', 'resin.name as resin'])
    .select(['plate.id', 'plate.memberId', 'member.name as member', 'plate.printerId', 'printer.name as printer'])
    .select(['printedOn', 'crowding', 'crowdingWorkedOut', 'plate.remark', 'told', 'plate.createdAt', 'plate.version'])
    .select(jsonRows(prints(db).where('plateId', '=', sql.ref<string>('plate.id'))).as('prints'))

type Row = Awaited<ReturnType<ReturnType<typeof plates>['executeTakeFirstOrThrow']>>

/** A row of `plates`, its prints in the order of their ids. */
export interface PlateRow extends Omit<Row, 'prints'> {
  prints: readonly PrintRow[]
}

/** A plate as the viewer may see it. */
export const shownPlate = ({ prints: own, ...row }: PlateRow, viewer: Viewer): Plate => ({
  id: row.id,
  member: { id: row.memberId, name: row.member },
  printer: { id: row.printerId, name: row.printer },
  // What somebody has on their shelf is nobody else's business.
  resin: row.resinId !== null && row.memberId === viewer.id ? { id: row.resinId, name: row.resin ?? '' } : null,
  printedOn: row.printedOn,
  crowding: row.crowding,
  crowdingWorkedOut: row.crowdingWorkedOut,
  remark: shownRemark(row.remark, own, viewer, row.memberId),
  told: row.told,
  prints: own.map((print) => shownPrint(print, viewer)),
  createdAt: row.createdAt.toISOString(),
  version: row.version,
})

/** @throws Problem 404 */
export async function readPlate(db: Db, viewer: Viewer, id: string): Promise<Plate> {
  const [row] = await plateById(db, { id })
  if (!row) throw notFound('plate')
  return shownPlate(row, viewer)
}

const plateById = often((db, { id }: { id: string }) => plates(db).where('plate.id', '=', id))

/** A page of the plates, the latest first; of one printer or member where asked for, and only those told or not. */
export async function listPlates(db: Db, viewer: Viewer, list: PlateList): Promise<Page<Plate>> {
  const { limit, after, printerId, memberId, told } = list
  const cursor = readCursor(after, z.tuple([day, z.uuid()]))
  const rows = await plates(db)
    .$if(printerId !== undefined, (query) => query.where('plate.printerId', '=', printerId ?? ''))
    .$if(memberId !== undefined, (query) => query.where('plate.memberId', '=', memberId ?? ''))
    .$if(told !== undefined, (query) => query.where('told', '=', told === 'true'))
    .$if(cursor !== undefined, (query) =>
      query.where(sql<boolean>`(plate.printed_on, plate.id) < (${cursor?.[0]}::date, ${cursor?.[1]}::uuid)`),
    )
    .orderBy('printedOn', 'desc')
    .orderBy('plate.id', 'desc')
    .limit(limit + 1)
    .execute()
  return shownPage(cutPage(rows, limit, 'printedOn', 'id'), (row) => shownPlate(row, viewer))
}

/** The plates of a member's that are still to be reported in full, the latest first, as a query. */
export const wetPlates = (db: Db, memberId: string | RawBuilder<string>) =>
  db
    .selectFrom('plate')
    .innerJoin('printer', 'printer.id', 'plate.printerId')
    .select(['plate.id', 'printer.name as printer', 'printedOn'])
    .where('memberId', '=', memberId)
    .where('told', '=', false)
    .orderBy('plate.id', 'desc')

/** The first day of the month of a plate. */
const monthOf = sql<string>`date_trunc('month', plate.printed_on)::date`

/** What was reported on each support set of a file, month by month, each with the day that its prints lie around, as a query. */
export const countsByMonth = (db: Db, fileId: string) =>
  db
    .selectFrom('print')
    .innerJoin('plate', 'plate.id', 'print.plateId')
    .innerJoin('supportSet', 'supportSet.id', 'print.supportSetId')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .select(['supportSet.id as supportSetId', monthOf.as('month')])
    .select((eb) => [
      eb.fn.countAll<number>().as('reports'),
      eb.fn.sum<number>('print.tried').as('tried'),
      eb.fn.sum<number>('print.good').as('good'),
      sql<string>`min(plate.printed_on) + (max(plate.printed_on) - min(plate.printed_on)) / 2`.as('around'),
    ])
    .where('revision.fileId', '=', fileId)
    .groupBy(['supportSet.id', monthOf])
    .orderBy(monthOf)
    .orderBy('supportSet.id')
