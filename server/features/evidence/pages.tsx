import { Estimates } from '../../../web/pages/Estimates.tsx'
import { isSteward } from '../../http/access.ts'
import type { App } from '../../http/app-type.ts'
import { once } from '../../http/form.ts'
import { page, seeOther } from '../../http/page.tsx'
import { lastFit, refit } from './fitting.ts'
import { doubtedMembers } from './standings.ts'

/** `/estimates`: how fresh they are, and for stewards to have them worked out anew. */
export function evidencePages(app: App): void {
  app.get('/estimates', async (request, reply) => {
    const { fittedAt, ...fit } = await lastFit(request.db)
    const props = {
      doubted: await doubtedMembers(request.db, request.member),
      isSteward: isSteward(request.member),
      fit: { ...fit, fittedAt: fittedAt?.toISOString() ?? null },
      renewing: isSteward(request.member) ? { hidden: once() } : undefined,
    }
    return page(request, reply, { title: 'How fresh the estimates are', children: <Estimates {...props} /> })
  })

  app.post('/estimates', { config: { access: 'steward', harmlessTwice: true } }, async (request, reply) => {
    await refit(request.db)
    return seeOther(reply, '/estimates', 'estimates-renewed')
  })
}
