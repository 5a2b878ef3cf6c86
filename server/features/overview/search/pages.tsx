import { z } from 'zod'
import type { Db } from '../../../../db/connect.ts'
import { rowScale } from '../../../../web/pages/Files.tsx'
import { Search } from '../../../../web/pages/Search.tsx'
import { page } from '../../../http/page.tsx'
import { type App, sameUntilWritten } from '../../../http/route.ts'
import type { Viewer } from '../../../http/session.ts'
import { listFiles } from '../../catalogue/files/queries.ts'
import { thinned, withShadows } from '../../catalogue/measures/drawn.ts'
import { listSculptors } from '../../catalogue/sculptors/queries.ts'
import { listUnits } from '../../catalogue/units/queries.ts'

const lookUp = z.object({ q: z.string().trim().max(120).default('').catch('') })

export function searchPages(app: App): void {
  app.get('/search', { ...sameUntilWritten, schema: { querystring: lookUp } }, async ({ db, member, query }, reply) => {
    const { q } = query
    const { units, listed, sculptors } = q ? await near(db, member, q) : none
    const pxPerMm = rowScale(listed)
    const files = listed.map((file) => thinned(file, pxPerMm))
    const title = q ? `Looked up: ${q}` : 'Look something up'
    return page(reply, { title, children: <Search {...{ q, units, sculptors, files, pxPerMm }} /> })
  })
}

const none = { units: [], listed: [], sculptors: [] }

/** What comes near the words, one kind asked for beside the others. */
async function near(db: Db, viewer: Viewer, q: string) {
  const [units, files, sculptors] = await Promise.all([
    listUnits(db, { limit: 10, q }),
    listFiles(db, viewer, { limit: 10, q }),
    listSculptors(db, viewer, { limit: 3, q }),
  ])
  return { units: await withShadows(db, units.items), listed: files.items, sculptors: sculptors.items }
}
