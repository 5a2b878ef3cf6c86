import { z } from 'zod'
import { Home } from '../../../../web/pages/Home.tsx'
import type { App } from '../../../http/app-type.ts'
import { page } from '../../../http/page.tsx'
import { pageQuery } from '../../../http/paging.ts'
import { wetPlates } from '../../printing/plates/queries.ts'
import { listRequests } from '../../requests/requests/queries.ts'
import { requestState } from '../../requests/requests/schema.ts'
import { needsReport, printedWell } from './queries.ts'

const list = z.object({ ...pageQuery, state: requestState.default('open').catch('open'), said: z.string().optional() })

export function homePages(app: App): void {
  // Where one would look for it.
  app.get('/requests', (_request, reply) => reply.redirect('/', 303))

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
}
