import { Units } from '../../../../web/pages/Units.tsx'
import { dividedBy } from '../../../http/money.ts'
import { page } from '../../../http/page.tsx'
import { type App, sameUntilWritten } from '../../../http/route.ts'
import { withShadows } from '../../catalogue/measures/drawn.ts'
import { listUnits } from '../../catalogue/units/queries.ts'
import { unitList } from '../../catalogue/units/schema.ts'
import { cheapestOf } from './cheapest.ts'

/** `/units`: every unit, with what its cheapest stand-in comes to. */
export function unitListPages(app: App): void {
  app.get(
    '/units',
    { ...sameUntilWritten, schema: { querystring: unitList } },
    async ({ db, member, query }, reply) => {
      const { items, next } = await listUnits(db, query)
      const cheapest = await cheapestOf(db, member, items)
      const units = (await withShadows(db, items)).map((unit) => ({
        ...unit,
        boxPerModel: unit.retailPrice && dividedBy(unit.retailPrice, unit.modelsPerUnit),
        cheapest: cheapest.get(unit.id) ?? null,
      }))
      return page(reply, {
        title: 'Units',
        children: <Units units={units} next={next} q={query.q ?? ''} />,
      })
    },
  )
}
