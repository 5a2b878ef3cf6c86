import { z } from 'zod'
import type { Db } from '../../../../db/connect.ts'
import { rowScale } from '../../../../web/pages/Files.tsx'
import { Search, unitsNearestFirst } from '../../../../web/pages/Search.tsx'
import { dividedBy } from '../../../http/money.ts'
import { page } from '../../../http/page.tsx'
import { type App, sameUntilWritten } from '../../../http/route.ts'
import type { Viewer } from '../../../http/session.ts'
import { listFiles } from '../../catalogue/files/queries.ts'
import { thinned, withShadows } from '../../catalogue/measures/drawn.ts'
import { listSculptors } from '../../catalogue/sculptors/queries.ts'
import { listUnits } from '../../catalogue/units/queries.ts'
import { cheapestOf } from '../../requests/answers/cheapest.ts'

const lookUp = z.object({ q: z.string().trim().max(120).default('').catch('') })

export function searchPages(app: App): void {
  app.get('/search', { ...sameUntilWritten, schema: { querystring: lookUp } }, async ({ db, member, query }, reply) => {
    const { q } = query
    const { units, pricesNearest, listed, sculptors } = q ? await near(db, member, q) : none
    const pxPerMm = rowScale(listed)
    const files = listed.map((file) => thinned(file, pxPerMm))
    const title = q ? `Looked up: ${q}` : 'Look something up'
    return page(reply, { title, children: <Search {...{ q, units, pricesNearest, sculptors, files, pxPerMm }} /> })
  })
}

const none = { units: [], pricesNearest: false, listed: [], sculptors: [] }

/** What comes near the words, one kind asked for beside the others. */
async function near(db: Db, viewer: Viewer, q: string) {
  const [units, files, sculptors] = await Promise.all([
    nearUnits(db, viewer, q),
    listFiles(db, viewer, { limit: 10, q }),
    listSculptors(db, viewer, { limit: 3, q }),
  ])
  return { ...units, listed: files.items, sculptors: sculptors.items }
}

/**
 * So many stand-ins are priced for a search, as many as a unit's page shows at a time: the nearest unit's whatever happens,
 * and of others as far as it goes. Whoever looks a name up wants to get to it; pricing ten units took as long as all else.
 */
const mostPriced = 40

async function nearUnits(db: Db, viewer: Viewer, q: string) {
  const items = unitsNearestFirst(q, (await listUnits(db, { limit: 10, q })).items)
  const priced = items.filter((_, place) => place === 0 || standInsOf(items.slice(0, place + 1)) <= mostPriced)
  const [cheapest, drawn] = await Promise.all([cheapestOf(db, viewer, priced), withShadows(db, items)])
  const units = drawn.map((unit) => ({
    ...unit,
    boxPerModel: unit.retailPrice && dividedBy(unit.retailPrice, unit.modelsPerUnit),
    cheapest: cheapest.get(unit.id) ?? null,
  }))
  return { units, pricesNearest: priced.length < items.length }
}

const standInsOf = (units: readonly { standIns: number }[]) => units.reduce((sum, { standIns }) => sum + standIns, 0)
