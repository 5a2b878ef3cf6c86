import { FileDrawing, FileLead, FileSum } from '../../../../web/pages/FileHead.tsx'
import { FilePage } from '../../../../web/pages/FilePage.tsx'
import { isSteward, mayChange } from '../../../http/access.ts'
import { once, page } from '../../../http/page.tsx'
import { type App, sameUntilWritten, withId } from '../../../http/route.ts'
import { writtenFile } from '../../catalogue/files/queries.ts'
import { groupModel, successOfFiles } from '../../evidence/queries.ts'
import { sheetOf } from '../../printing/chances/queries.ts'
import { fileChances } from '../../printing/chances/show.ts'
import { printersInUse } from '../../printing/printers/own.ts'
import { listReports } from '../../printing/reports/queries.ts'
import { asMeasured, isResinBare, measureIn } from './measured.ts'
import { printedOf } from './queries.ts'
import { toTable } from './to-table.ts'

const reportsShown = 10

/** A file with what the group printed of it. */
export function filePage(app: App): void {
  app.get('/files/:id', { ...withId, ...sameUntilWritten }, async (request, reply) => {
    const { db, member } = request
    const { id } = request.params
    const file = await writtenFile(db, member, id)
    const model = await groupModel(db)
    const lines = (await successOfFiles(db, [id], model)).get(id) ?? []
    const { resinMlPerModel } = member.group
    const reports = await listReports(db, member, { fileId: id, limit: reportsShown })
    const { months, pictures } = await printedOf(db, member, id)
    const printers = await printersInUse(db, member, model)
    const sum = toTable(file, { model, lines }, member)
    const props = {
      file,
      mayChange: mayChange(member, file.createdBy.id),
      resinMlPerModel,
      isResinBare: isResinBare(file),
      measured: asMeasured(file),
      sum,
      offers: file.offers,
      revisions: file.revisions.map((one) => ({
        ...one,
        measure: measureIn(file, one.id, null),
        supportSets: one.supportSets.map((set) => ({
          ...set,
          measure: measureIn(file, one.id, set.id),
        })),
        mayChange: mayChange(member, one.createdBy.id),
      })),
      lines,
      months,
      snags: file.snags.map((snag) => ({ ...snag, mayChange: mayChange(member, snag.createdBy.id) })),
      reports: reports.items,
      moreReports: reports.next !== null,
      pictures: pictures.map((picture) => ({ ...picture, mayChange: mayChange(member, picture.member.id) })),
      choosing: isSteward(member) ? once() : undefined,
      chances: await fileChances(request, id, { model, lines, printers, sheet: sheetOf(file) }, file.units[0] ?? null),
    }
    return page(reply, {
      title: file.title,
      drawing: <FileDrawing file={file} />,
      lead: <FileLead file={file} />,
      sum: <FileSum fileId={id} sum={sum} />,
      children: <FilePage {...props} />,
    })
  })
}
