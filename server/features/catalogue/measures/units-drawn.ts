import { sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'
import { unseen } from '../../../../db/often.ts'
import { type DrawnUnit, headScale, unitScale } from '../../../../web/parts/unit-shadow.tsx'
import type { Shadow } from './schema.ts'
import { shadowOfUnit } from './shadow.ts'
import { thinned } from './thinned.ts'

/** What each of these units is drawn by: of one that nothing measured stands in for, no shadow. */
export const unitsDrawn = (db: Db, unitIds: readonly string[]) =>
  db
    .selectFrom('unit')
    .select(['unit.id', shadowOfUnit('unit.id').as('shadow')])
    .where('unit.id', '=', sql<string>`any(${unseen(unitIds, 'uuid[]')})`)

/** Units, each with what it is drawn by in a list. */
export async function withShadows<Unit extends DrawnUnit & { id: string }>(db: Db, units: Unit[]) {
  const ids = units.map(({ id }) => id)
  return drawnBy(units, await unitsDrawn(db, ids).execute())
}

/** A unit with what it is drawn by in the head of a page, or beside a form. */
export async function withShadow<Unit extends DrawnUnit & { id: string }>(db: Db, unit: Unit) {
  const [row] = await unitsDrawn(db, [unit.id]).execute()
  return drawnLarge({ ...unit, shadow: row?.shadow ?? null })
}

/** A unit that was read along with its shadow, with no more points than the head of a page shows. */
export const drawnLarge = <Unit extends DrawnUnit & { shadow: Shadow | null }>(unit: Unit) =>
  thinned(unit, headScale(unit))

/** Joins units and the shadows that were read for them, with no more points than a line of a list shows. */
export function drawnBy<Unit extends DrawnUnit & { id: string }>(
  units: Unit[],
  rows: readonly { id: string; shadow: Shadow | null }[],
): (Unit & { shadow: Shadow | null })[] {
  const shadows = new Map(rows.map(({ id, shadow }) => [id, shadow]))
  return units.map((unit) => {
    const drawn = { ...unit, shadow: shadows.get(unit.id) ?? null }
    return thinned(drawn, unitScale(drawn))
  })
}
