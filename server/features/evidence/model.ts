import { sql } from 'kysely'
import { type Db, often } from '../../../db/connect.ts'
import type { Crowding } from '../../../db/tables.ts'
import type { Shape } from '../../scoring/beta.ts'
import { crowdings, type Hyper, platePriors, startingHyper, type Total } from '../../scoring/priors.ts'
import { medianMachine } from '../../scoring/success.ts'

/** The number of the full fit whose rows count, for a query's `fit` columns. */
export const currentFit = sql<number>`(select fit from scoring_fit)`

export interface FitState {
  /** number of the latest fit that was begun */
  attempt: number
  /** of the one whose rows count */
  fit: number
  hyper: Hyper
  /** what it learnt of plates by crowding, priors left out */
  plates: Record<Crowding, Total>
}

export interface FitRow extends Record<keyof Hyper, number | null> {
  attempt: number
  fit: number
  plates: (Total & { crowding: Crowding })[]
}

const fitRow = sql`
    select ${often} attempt, fit, mu0, k0, k, am, bm, (
      select coalesce(json_agg(json_build_object('crowding', crowding, 'x', x, 'y', y)), '[]')
      from plate_success where plate_success.fit = scoring_fit.fit
    ) as plates
    from scoring_fit`

/** The row that `stateOf` takes, as a column of whatever else is asked. */
export const fitAsColumn = sql<FitRow>`(select row_to_json(state) from (${fitRow}) state)`

/** Which rows count, and what the group as a whole is like: as last fitted, the starting values before any fit. */
export async function fitState(db: Db): Promise<FitState> {
  const { rows } = await fitRow.$castTo<FitRow>().execute(db)
  if (!rows[0]) throw new Error('the row of the scoring is missing')
  return stateOf(rows[0])
}

export function stateOf({ attempt, fit, mu0, k0, k, am, bm, plates }: FitRow): FitState {
  const isFitted = mu0 !== null && k0 !== null && k !== null && am !== null && bm !== null
  const total = (crowding: Crowding) => {
    const { x, y } = plates.find((plate) => plate.crowding === crowding) ?? { x: 0, y: 0 }
    return { x, y }
  }
  return {
    attempt,
    fit,
    hyper: isFitted ? { mu0, k0, k, am, bm } : startingHyper,
    plates: { loose: total('loose'), normal: total('normal'), packed: total('packed') },
  }
}

/** What the group as a whole is like, as last fitted; the starting values before any fit. */
export async function hyperOf(db: Db): Promise<Hyper> {
  return (await fitState(db)).hyper
}

/** A printer period's success: a printer starts afresh after upkeep. */
export const machineShapeOf = ({ am, bm }: Hyper, { x, y }: Total): Shape => [am + x, bm + y]

/** The upkeep periods of printers with what was learnt of them: `id`, `printerId`, `startsOn`, `x`, `y`, `cases`. */
export const periods = (db: Db) =>
  db
    .selectFrom('printerPeriod')
    .leftJoin('periodSuccess', (join) =>
      join.onRef('periodSuccess.periodId', '=', 'printerPeriod.id').on('periodSuccess.fit', '=', currentFit),
    )
    .select(['printerPeriod.id', 'printerPeriod.printerId', 'printerPeriod.startsOn'])
    .select((eb) => [
      eb.fn.coalesce('periodSuccess.x', sql<number>`0::float8`).as('x'),
      eb.fn.coalesce('periodSuccess.y', sql<number>`0::float8`).as('y'),
    ])
    .select('periodSuccess.cases')

/** The present upkeep period of every printer, newest start first. */
export const currentPeriods = (db: Db) =>
  periods(db)
    .distinctOn('printerPeriod.printerId')
    .orderBy('printerPeriod.printerId')
    .orderBy('printerPeriod.startsOn', (order) => order.desc().nullsLast())

export interface Model {
  hyper: Hyper
  /** success of a plate by crowding */
  plates: Record<Crowding, Shape>
  /** a machine in good order: of the printers in use the one in the middle */
  goodMachine: Shape
}

/** What every estimate needs besides the file: plates, and the group's machine in good order. */
export async function modelOf(db: Db): Promise<Model> {
  const { hyper, plates } = await fitState(db)
  const inUse = db.selectFrom('printer').select('id').where('state', '=', 'in use')
  const current = await currentPeriods(db).where('printerPeriod.printerId', 'in', inUse).execute()
  return { hyper, plates: plateShapes(plates), goodMachine: medianMachine(current, hyper) }
}

/** Success of a plate by crowding. */
export function plateShapes(totals: Record<Crowding, Total>): Record<Crowding, Shape> {
  const plateShape = (crowding: Crowding): Shape => {
    const [a, b] = platePriors[crowding]
    return [a + totals[crowding].x, b + totals[crowding].y]
  }
  const [loose, normal, packed] = crowdings.map(plateShape) as [Shape, Shape, Shape]
  return { loose, normal, packed }
}

/** A printer's success since its last upkeep; that of any printer after upkeep when nothing is known of it. */
export async function machineShape(db: Db, printerId: string): Promise<Shape> {
  const period = await currentPeriods(db).where('printerPeriod.printerId', '=', printerId).executeTakeFirst()
  return machineShapeOf(await hyperOf(db), period ?? { x: 0, y: 0 })
}
