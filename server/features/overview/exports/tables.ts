import type { Db } from '../../../../db/connect.ts'
import { type Asked, type Page, shownPage } from '../../../http/paging.ts'
import type { Viewer } from '../../../http/session.ts'
import { listFiles } from '../../catalogue/files/queries.ts'
import { listUnits } from '../../catalogue/units/queries.ts'
import { listReports } from '../../printing/reports/queries.ts'
import { listRequests } from '../../requests/requests/queries.ts'

export type Cell = string | number | null

/** A list as a table: its columns by name, and its rows a page at a time. */
export interface Table {
  columns: string[]
  page: (db: Db, viewer: Viewer, after: string | undefined) => Promise<Page<Cell[]>>
}

const limit = 100

type List<Row> = (db: Db, viewer: Viewer, asked: Asked) => Promise<Page<Row>>

/** @param cells what stands in each column, by its name */
const table = <Row>(list: List<Row>, cells: Record<string, (row: Row) => Cell>): Table => ({
  columns: Object.keys(cells),
  page: async (db, viewer, after) =>
    shownPage(await list(db, viewer, { limit, after }), (row) => Object.values(cells).map((cell) => cell(row))),
})

/** What a member may take along as a table, by the path of its page. Nobody's table says more than the page does. */
export const tables: Record<'units' | 'files' | 'requests' | 'reports', Table> = {
  units: table((db, _viewer, asked) => listUnits(db, asked), {
    name: (unit) => unit.name,
    setting: (unit) => unit.setting,
    scaleMm: (unit) => unit.scaleMm,
    modelsPerUnit: (unit) => unit.modelsPerUnit,
    retailPrice: (unit) => unit.retailPrice?.amount ?? null,
    currency: (unit) => unit.retailPrice?.currency ?? null,
    standIns: (unit) => unit.standIns,
  }),
  files: table(listFiles, {
    title: (file) => file.title,
    sculptor: (file) => file.sculptor.name,
    standsInFor: (file) => file.units.map(({ name }) => name).join('; '),
    scaleMm: (file) => file.scaleMm,
    heightMm: (file) => file.heightMm,
    resinMl: (file) => file.resinMl,
    formats: (file) => file.formats.join('; '),
    licence: (file) => file.licence,
    remark: (file) => file.remark,
  }),
  requests: table(listRequests, {
    unit: (request) => request.unit.name,
    wanted: (request) => request.wanted,
    asker: (request) => request.asker.name,
    mustHaves: (request) => request.mustHaves.join('; '),
    neededBy: (request) => request.neededBy,
    state: (request) => request.state,
    settledFile: (request) => request.settledFile?.title ?? null,
    proposals: (request) => request.proposals,
    createdAt: (request) => request.createdAt,
  }),
  reports: table(listReports, {
    printedOn: (print) => print.printedOn,
    member: (print) => print.member.name,
    printer: (print) => print.printer.name,
    file: (print) => print.file.title,
    revision: (print) => print.supportSet.revision,
    supports: (print) => print.supportSet.kind,
    tried: (print) => print.tried,
    good: (print) => print.good,
    seen: (print) => print.failures.map(({ seen, copies }) => `${copies} ${seen}`).join('; '),
    crowding: (print) => print.crowding,
  }),
}
