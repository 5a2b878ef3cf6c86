import { File } from '../../../web/pages/File.tsx'
import { Files, sculptorWords } from '../../../web/pages/Files.tsx'
import { mayChange } from '../../http/access.ts'
import type { App } from '../../http/app-type.ts'
import { byId } from '../../http/fields.ts'
import { groupOf } from '../../http/group.ts'
import { page } from '../../http/page.tsx'
import { runningOf } from '../archive/queries.ts'
import { fileChances } from '../chances/show.ts'
import { shownOffer } from '../offers/show.ts'
import { countsBySet } from '../plates/queries.ts'
import { listReports } from '../reports/queries.ts'
import { listFiles, readFile } from './queries.ts'
import { fileList } from './schema.ts'
import { readSculptor } from './sculptors.ts'
import { fileSuggestion, nextPage } from './show.ts'

const reportsShown = 10

/** `/files` and `/files/:id`; their forms are in edit-pages.tsx. */
export function filePages(app: App): void {
  app.get('/files', { schema: { querystring: fileList } }, async (request, reply) => {
    const { db, member, query } = request
    const { items, next } = await listFiles(db, member, query)
    const sculptor = query.sculptorId ? await readSculptor(db, member, query.sculptorId) : null
    const props = { files: items, q: query.q ?? '', sculptor, next: next && nextPage(request.url, next) }
    return page(request, reply, { title: 'Files', children: <Files {...props} /> })
  })

  app.get('/files/suggest', { schema: { querystring: fileList } }, async (request) => {
    const { items } = await listFiles(request.db, request.member, { ...request.query, limit: 8 })
    return { items: items.map(fileSuggestion) }
  })

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
