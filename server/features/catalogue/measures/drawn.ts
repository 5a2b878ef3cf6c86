import { type RawBuilder, sql } from 'kysely'
import simplify from 'simplify-js'
import type { Db } from '../../../../db/connect.ts'
import { often, unseen } from '../../../../db/often.ts'
import type { FigureShadow, Outline } from '../../../../web/parts/outline.ts'
import { type DrawnUnit, headScale, unitScale } from '../../../../web/parts/shadow.tsx'
import type { MeasuredFoot } from '../../../planning/plate.ts'
import type { Shadow } from './schema.ts'

const drawn = sql`json_build_object('front', front, 'widthMm', width_mm, 'heightMm', height_mm)`
const newestFirst = sql`released_on desc nulls last, revision.created_at desc, revision.id desc, support_set_id is not null`

/**
 * What each row's file is drawn by: the outline of its newest revision that has one, rather without supports than with.
 * A part of the statement that reads the rows, so that a list asks once.
 *
 * @param fileId the column that has the file's id
 */
export const shadowOf = (fileId = 'file.id'): RawBuilder<Shadow | null> => sql`(
  select ${drawn} from revision join measure on measure.revision_id = revision.id
  where revision.file_id = ${sql.ref(fileId)} and front is not null
  order by ${newestFirst}
  limit 1
)`

/** What a copy of each row's file covers on a plate: of its newest measured revision, rather with supports than without. */
export const footPrintOf = (fileId = 'file.id'): RawBuilder<MeasuredFoot | null> => sql`(
  select json_build_object('widthMm', width_mm, 'depthMm', depth_mm, 'widestLayerMm2', widest_layer_mm2)
  from revision join measure on measure.revision_id = revision.id
  where revision.file_id = ${sql.ref(fileId)}
  order by released_on desc nulls last, revision.created_at desc, revision.id desc, support_set_id is null, measure.id
  limit 1
)`

/**
 * What each row's unit is drawn by: the shadow of one of its stand-ins, rather of one that a request for it was settled on.
 *
 * @param unitId the column that has the unit's id
 */
export const shadowOfUnit = (unitId: string): RawBuilder<Shadow | null> => sql`(
  select ${drawn} from file_unit join revision on revision.file_id = file_unit.file_id
  join measure on measure.revision_id = revision.id
  where file_unit.unit_id = ${sql.ref(unitId)} and front is not null
  order by exists (
    select from request where settled_file_id = file_unit.file_id and request.unit_id = file_unit.unit_id
  ) desc, file_unit.file_id desc, ${newestFirst}
  limit 1
)`

/** Fewer points than these enclose nothing. */
const fewest = 3

/**
 * A row to be drawn, with an outline of no more points than the drawing shows: half a pixel is not seen.
 *
 * @param pxPerMm the drawing's scale
 */
export function thinned<Drawn extends { shadow: FigureShadow | null }>(drawn: Drawn, pxPerMm: number): Drawn {
  const { shadow } = drawn
  return shadow === null ? drawn : { ...drawn, shadow: { ...shadow, front: shadow.front.flatMap(thinner) } }

  function thinner(ring: Outline[number]): Outline {
    const points = simplify(
      ring.map(([x, y]) => ({ x, y })),
      0.5 / pxPerMm,
      true,
    )
    return points.length < fewest ? [] : [points.map(({ x, y }): [number, number] => [x, y])]
  }
}

/** What each of these units is drawn by: of one that nothing measured stands in for, no shadow. */
export const unitsDrawn = (db: Db, unitIds: readonly string[]) =>
  db
    .selectFrom('unit')
    .select(['unit.id', shadowOfUnit('unit.id').as('shadow')])
    .where('unit.id', '=', sql<string>`any(${unseen(unitIds, 'uuid[]')})`)

const readDrawn = often((db, { unitIds }: { unitIds: readonly string[] }) => unitsDrawn(db, unitIds))

/** Units, each with what it is drawn by in a list. */
export async function withShadows<Unit extends DrawnUnit & { id: string }>(db: Db, units: Unit[]) {
  return drawnBy(units, await readDrawn(db, { unitIds: units.map(({ id }) => id) }))
}

/** A unit with what it is drawn by in the head of a page, or beside a form. */
export async function withShadow<Unit extends DrawnUnit & { id: string }>(db: Db, unit: Unit) {
  const [row] = await readDrawn(db, { unitIds: [unit.id] })
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
