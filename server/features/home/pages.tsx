import { z } from 'zod'
import { Home } from '../../../web/pages/Home.tsx'
import { Search } from '../../../web/pages/Search.tsx'
import type { App } from '../../http/app-type.ts'
import { page } from '../../http/page.tsx'
import { pageQuery } from '../../http/paging.ts'
import { listFiles } from '../files/queries.ts'
import { wetPlates } from '../plates/queries.ts'
import { listRequests } from '../requests/queries.ts'
import { requestState } from '../requests/schema.ts'
import { listUnits } from '../units/queries.ts'
import { needsReport, printedWell } from './queries.ts'

const list = z.object({ ...pageQuery, state: requestState.default('open').catch('open'), said: z.string().optional() })
const look = z.object({ q: z.string().trim().max(120).default('').catch('') })

export function homePages(app: App): void {
  app.get('/', { schema: { querystring: list } }, async (request, reply) => {
    const { db, member, query } = request
    const requests = await listRequests(db, member, query)
    const props = {
      requests: requests.items,
      next: requests.next,
      state: query.state,
      isFirstPage: query.after === undefined,
      printedWell: await printedWell(db, member),
      needsReport: await needsReport(db, member),
      wet: await wetPlates(db, member.id),
    }
    return page(request, reply, { title: 'Requests', children: <Home {...props} /> })
  })

  app.get('/search', { schema: { querystring: look } }, async (request, reply) => {
    const { q } = request.query
    const units = q ? (await listUnits(request.db, { limit: 10, q })).items : []
    const files = q ? (await listFiles(request.db, request.member, { limit: 10, q })).items : []
    const title = q ? `Looked up: ${q}` : 'Look something up'
    return page(request, reply, { title, children: <Search {...{ q, units, files }} /> })
  })
}
