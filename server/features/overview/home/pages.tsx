import { z } from 'zod'
import { AskForOne, Home } from '../../../../web/pages/Home.tsx'
import { page } from '../../../http/page.tsx'
import { pageQuery } from '../../../http/paging.ts'
import { type App, sameUntilWritten } from '../../../http/route.ts'
import { drawnBy } from '../../catalogue/measures/drawn.ts'
import { listRequests } from '../../requests/requests/queries.ts'
import { requestState } from '../../requests/requests/schema.ts'
import { besideRequests } from './queries.ts'

const list = z.object({ ...pageQuery, state: requestState.default('open').catch('open'), said: z.string().optional() })

export function homePages(app: App): void {
  // Where one would look for it.
  app.get('/requests', (_request, reply) => reply.redirect('/', 303))

  app.get('/', { ...sameUntilWritten, schema: { querystring: list } }, async ({ db, member, query }, reply) => {
    const requests = await listRequests(db, member, query)
    const units = requests.items.map(({ unit }) => unit)
    const { drawn, ...beside } = await besideRequests(
      db,
      member,
      units.map(({ id }) => id),
    )
    const shown = drawnBy(units, drawn)
    const props = {
      requests: requests.items.map((row, index) => ({ ...row, unit: shown[index] ?? { ...row.unit, shadow: null } })),
      next: requests.next,
      state: query.state,
      isFirstPage: query.after === undefined,
      ...beside,
    }
    return page(reply, { title: 'Requests', sum: <AskForOne />, children: <Home {...props} /> })
  })
}
