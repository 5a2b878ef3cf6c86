import { File } from '../../../../web/pages/File.tsx'
import { sculptorWords } from '../../../../web/pages/Files.tsx'
import { mayChange } from '../../../http/access.ts'
import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { groupOf } from '../../../http/group.ts'
import { page } from '../../../http/page.tsx'
import { runningOf } from '../../catalogue/archive/queries.ts'
import { readFile } from '../../catalogue/files/queries.ts'
import { shownOffer } from '../../catalogue/offers/show.ts'
import { fileChances } from '../../printing/chances/show.ts'
import { countsBySet } from '../../printing/plates/queries.ts'
import { listReports } from '../../printing/reports/queries.ts'

const reportsShown = 10

/** A file with what the group printed of it. */
export function filePage(app: App): void {
  app.get('/files/:id', { schema: { params: byId } }, async (request, reply) => {
    const { db, member } = request
    const { id } = request.params
    const file = await readFile(db, member, id)
    const runs = await runningOf(db, member)
    const { resinMlPerModel } = await groupOf(db)
    const reports = await listReports(db, member, { fileId: id, limit: reportsShown })
    const printed = await countsBySet(db, id)
    const props = {
      file,
      mayChange: mayChange(member, file.createdBy.id),
      resinMlPerModel,
      offers: file.offers.map((offer) => shownOffer(offer, member, runs)),
      revisions: file.revisions.map((one) => ({
        ...one,
        supportSets: one.supportSets.map((set) => ({ ...set, printed: printed.get(set.id) })),
        mayChange: mayChange(member, one.createdBy.id),
      })),
      lines: file.printSuccess,
      snags: file.snags.map((snag) => ({ ...snag, mayChange: mayChange(member, snag.createdBy.id) })),
      reports: reports.items,
      moreReports: reports.next !== null,
      chances: await fileChances(
        request,
        id,
        file.printSuccess.map(({ kind }) => kind),
      ),
    }
    const lead = sculptorWords(file.sculptor)
    return page(request, reply, { title: file.title, lead, children: <File {...props} /> })
  })
}
