import { z } from 'zod'
import { Search } from '../../../../web/pages/Search.tsx'
import type { App } from '../../../http/app-type.ts'
import { page } from '../../../http/page.tsx'
import { listFiles } from '../../catalogue/files/queries.ts'
import { listUnits } from '../../catalogue/units/queries.ts'

const lookUp = z.object({ q: z.string().trim().max(120).default('').catch('') })

export function searchPages(app: App): void {
  app.get('/search', { schema: { querystring: lookUp } }, async (request, reply) => {
    const { q } = request.query
    const units = q ? (await listUnits(request.db, { limit: 10, q })).items : []
    const files = q ? (await listFiles(request.db, request.member, { limit: 10, q })).items : []
    const title = q ? `Looked up: ${q}` : 'Look something up'
    return page(request, reply, { title, children: <Search {...{ q, units, files }} /> })
  })
}
