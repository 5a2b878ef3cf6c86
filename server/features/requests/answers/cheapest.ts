import type { Db } from '../../../../db/connect.ts'
import { fromMinor, type Money } from '../../../http/money.ts'
import type { Viewer } from '../../../http/session.ts'
import type { Unit } from '../../catalogue/units/schema.ts'
import { type Facts, type FileFacts, factsFor } from './facts.ts'
import { stopsPrint } from './rules.ts'
import { tabled } from './tabled.ts'

/**
 * What the cheapest stand-in of each of these units costs to the table, a model, for as many as are in a box: of those that
 * can be had and that no snag stops. As the unit's own page has it (`unitAnswers`), in one go for a whole list.
 *
 * @returns by the unit's id; without those that nothing stands in for
 */
export async function cheapestOf(db: Db, viewer: Viewer, units: readonly Pick<Unit, 'id' | 'modelsPerUnit'>[]) {
  if (units.length === 0) return new Map<string, Money>()
  const facts = await factsFor(db, viewer, { unitIds: units.map(({ id }) => id) }, { own: false, doubts: false })
  const files = [...facts.files.values()]
  return new Map(
    units.flatMap(({ id, modelsPerUnit }) => {
      const costs = files
        .filter(({ standsInFor }) => standsInFor.includes(id))
        .flatMap((file) => costOf(facts, file, modelsPerUnit))
      const perModel = Math.round(Math.min(...costs) / modelsPerUnit)
      return costs.length === 0 ? [] : [[id, fromMinor(perModel, viewer.group.currency)]]
    }),
  )
}

/** In minor units; nothing for what can't be had or printed. */
function costOf(facts: Facts, file: FileFacts, wanted: number): number[] {
  const found = tabled(facts, file, wanted)
  if (!found || found.whyNot !== null || file.snags.some(stopsPrint)) return []
  return [found.costToTableMinor]
}
