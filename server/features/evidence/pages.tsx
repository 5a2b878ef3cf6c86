import { Estimates } from '../../../web/pages/Estimates.tsx'
import { isSteward } from '../../http/access.ts'
import { once, page, seeOther } from '../../http/page.tsx'
import type { App } from '../../http/route.ts'
import { lastFit, refit } from './fitting.ts'
import { disagrees } from './rules.ts'

/** `/estimates`: how fresh they are, and for stewards to have them worked out at once. */
export function evidencePages(app: App): void {
  app.get('/estimates', async (request, reply) => {
    const fit = await lastFit(request.db)
    const props = {
      fit: { ...fit, fittedAt: fit.fittedAt?.toISOString() ?? null },
      disagrees: disagrees(fit.rhat),
      renewing: isSteward(request.member) ? { hidden: once() } : undefined,
    }
    return page(reply, { title: 'How fresh the estimates are', children: <Estimates {...props} /> })
  })

  app.post('/estimates', { config: { access: 'steward', harmlessTwice: true } }, async (request, reply) => {
    await refit(request.db)
    return seeOther(reply, '/estimates', 'estimates-renewed')
  })
}
