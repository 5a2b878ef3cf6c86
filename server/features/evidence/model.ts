import type { Db } from '../../../db/connect.ts'
import type { Crowding } from '../../../db/tables.ts'
import type { Shape } from '../../scoring/beta.ts'
import { crowdings, type Hyper, platePriors, startingHyper, type Total } from '../../scoring/priors.ts'
import { medianMachine } from '../../scoring/success.ts'

/** What the group as a whole is like, as last fitted; the starting values before any fit. */
export async function hyperOf(db: Db): Promise<Hyper> {
  const fitted = await db.selectFrom('scoringFit').select(['mu0', 'k0', 'k', 'am', 'bm']).executeTakeFirst()
  return fitted ?? startingHyper
}

/** What the last fit learnt of plates by crowding, priors left out. */
export async function platesOf(db: Db): Promise<Record<Crowding, Total>> {
  const rows = await db.selectFrom('plateSuccess').select(['crowding', 'x', 'y']).execute()
  const total = (crowding: Crowding) => {
    const { x, y } = rows.find((row) => row.crowding === crowding) ?? { x: 0, y: 0 }
    return { x, y }
  }
  return { loose: total('loose'), normal: total('normal'), packed: total('packed') }
}

/** A printer period's success: a printer starts afresh after upkeep. */
export const machineShapeOf = ({ am, bm }: Hyper, { x, y }: Total): Shape => [am + x, bm + y]

/** The present upkeep period of every printer, newest start first. */
const currentPeriods = (db: Db) =>
  db
    .selectFrom('printerPeriod')
    .distinctOn('printerId')
    .select(['printerId', 'id', 'startsOn', 'x', 'y'])
    .orderBy('printerId')
    .orderBy('startsOn', (order) => order.desc().nullsLast())

export interface Model {
  hyper: Hyper
  /** success of a plate by crowding */
  plates: Record<Crowding, Shape>
  /** a machine in good order: of the printers in use the one in the middle */
  goodMachine: Shape
}

/** What every estimate needs besides the file: plates, and the group's machine in good order. */
export async function modelOf(db: Db): Promise<Model> {
  const hyper = await hyperOf(db)
  const totals = await platesOf(db)
  const inUse = db.selectFrom('printer').select('id').where('state', '=', 'in use')
  const periods = await currentPeriods(db).where('printerId', 'in', inUse).execute()
  const plateShape = (crowding: Crowding): Shape => {
    const [a, b] = platePriors[crowding]
    return [a + totals[crowding].x, b + totals[crowding].y]
  }
  const [loose, normal, packed] = crowdings.map(plateShape) as [Shape, Shape, Shape]
  return { hyper, plates: { loose, normal, packed }, goodMachine: medianMachine(periods, hyper) }
}

/** A printer's success since its last upkeep; that of any printer after upkeep when nothing is known of it. */
export async function machineShape(db: Db, printerId: string): Promise<Shape> {
  const period = await currentPeriods(db).where('printerId', '=', printerId).executeTakeFirst()
  return machineShapeOf(await hyperOf(db), period ?? { x: 0, y: 0 })
}
