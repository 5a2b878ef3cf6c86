import { z } from 'zod'
import { rowScale } from '../../../../web/pages/FileRows.tsx'
import { Search } from '../../../../web/pages/Search.tsx'
import type { App } from '../../../http/app-type.ts'
import { dividedBy } from '../../../http/money.ts'
import { page } from '../../../http/page.tsx'
import { listFiles } from '../../catalogue/files/queries.ts'
import { thinned } from '../../catalogue/measures/thinned.ts'
import { withShadows } from '../../catalogue/measures/units-drawn.ts'
import { listSculptors } from '../../catalogue/sculptors/queries.ts'
import { listUnits } from '../../catalogue/units/queries.ts'
import { cheapestOf } from '../../requests/answers/cheapest.ts'

const lookUp = z.object({ q: z.string().trim().max(120).default('').catch('') })

export function searchPages(app: App): void {
  app.get(
    '/search',
    { config: { sameUntilWritten: true }, schema: { querystring: lookUp } },
    async ({ db, member, query }, reply) => {
      const { q } = query
      const found = q ? (await listUnits(db, { limit: 10, q })).items : []
      const cheapest = await cheapestOf(db, member, found)
      const units = (await withShadows(db, found)).map((unit) => ({
        ...unit,
        boxPerModel: unit.retailPrice && dividedBy(unit.retailPrice, unit.modelsPerUnit),
        cheapest: cheapest.get(unit.id) ?? null,
      }))
      const listed = q ? (await listFiles(db, member, { limit: 10, q })).items : []
      const pxPerMm = rowScale(listed)
      const files = listed.map((file) => thinned(file, pxPerMm))
      const sculptors = q ? (await listSculptors(db, member, { limit: 3, q })).items : []
      const title = q ? `Looked up: ${q}` : 'Look something up'
      return page(reply, { title, children: <Search {...{ q, units, sculptors, files, pxPerMm }} /> })
    },
  )
}
