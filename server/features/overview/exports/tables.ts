import type { Db } from '../../../../db/connect.ts'
import { type Page, shownPage } from '../../../http/paging.ts'
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

/** What a member may take along as a table, by the path of its page. Nobody's table says more than the page does. */
export const tables: Record<'units' | 'files' | 'requests' | 'reports', Table> = {
  units: {
    columns: ['name', 'setting', 'scaleMm', 'modelsPerUnit', 'retailPrice', 'currency', 'standIns'],
    page: async (db, _viewer, after) =>
      shownPage(await listUnits(db, { limit, after }), (unit) => [
        unit.name,
        unit.setting,
        unit.scaleMm,
        unit.modelsPerUnit,
        unit.retailPrice?.amount ?? null,
        unit.retailPrice?.currency ?? null,
        unit.standIns,
      ]),
  },
  files: {
    columns: ['title', 'sculptor', 'standsInFor', 'scaleMm', 'heightMm', 'resinMl', 'formats', 'licence', 'remark'],
    page: async (db, viewer, after) =>
      shownPage(await listFiles(db, viewer, { limit, after }), (file) => [
        file.title,
        file.sculptor.name,
        file.units.map(({ name }) => name).join('; '),
        file.scaleMm,
        file.heightMm,
        file.resinMl,
        file.formats.join('; '),
        file.licence,
        file.remark,
      ]),
  },
  requests: {
    columns: ['unit', 'wanted', 'asker', 'mustHaves', 'neededBy', 'state', 'settledFile', 'proposals', 'createdAt'],
    page: async (db, viewer, after) =>
      shownPage(await listRequests(db, viewer, { limit, after }), (request) => [
        request.unit.name,
        request.wanted,
        request.asker.name,
        request.mustHaves.join('; '),
        request.neededBy,
        request.state,
        request.settledFile?.title ?? null,
        request.proposals,
        request.createdAt,
      ]),
  },
  reports: {
    columns: ['printedOn', 'member', 'printer', 'file', 'revision', 'supports', 'tried', 'good', 'seen', 'crowding'],
    page: async (db, viewer, after) =>
      shownPage(await listReports(db, viewer, { limit, after }), (print) => [
        print.printedOn,
        print.member.name,
        print.printer.name,
        print.file.title,
        print.supportSet.revision,
        print.supportSet.kind,
        print.tried,
        print.good,
        print.failures.map(({ seen, copies }) => `${copies} ${seen}`).join('; '),
        print.crowding,
      ]),
  },
}
