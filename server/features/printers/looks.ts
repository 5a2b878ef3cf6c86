import { sql } from 'kysely'
import type { Db } from '../../../db/connect.ts'
import type { Shape } from '../../scoring/beta.ts'
import { copyWeight, startingRho, type Total } from '../../scoring/priors.ts'
import { verdict } from '../../scoring/verdict.ts'
import { latestPlates, lineShapes } from '../evidence/latest.ts'
import { lineKey, type Model, machineShapeOf, modelOf, periods, type ReportEvidence } from '../evidence/queries.ts'
import { type LookQuestion, whenToLook } from './rules.ts'
import type { Look } from './schema.ts'

/** So many plates back is "lately". */
const lately = 5
/** So many plates of a period are compared, the later half with the earlier. */
const compared = 40

/**
 * Whether printers want a look, each by its own evidence.
 *
 * @param today the day from which "long ago" counts, `YYYY-MM-DD`
 * @returns by printer
 */
export async function looksOf(db: Db, printerIds: readonly string[], today: string): Promise<Map<string, Look>> {
  if (printerIds.length === 0) return new Map()
  const model = await modelOf(db)
  const byPrinter = Map.groupBy(await periodsOfPrinters(db, printerIds), ({ printerId }) => printerId)
  const present = [...byPrinter.values()].flatMap(([period]) => period?.id ?? [])
  const plates = await latestPlates(db, present, compared)
  const shapes = await lineShapes(
    db,
    [...plates.values()].flatMap((ofPeriod) => ofPeriod.slice(0, lately)),
  )
  return new Map(
    [...byPrinter].map(([printerId, own]) => {
      const latest = plates.get(own[0]?.id ?? '') ?? []
      const machine = machineShapeOf(model.hyper, own[0] ?? { x: 0, y: 0 })
      const question: LookQuestion = {
        periods: own.map((period) => ({ shape: machineShapeOf(model.hyper, period), tried: period.tried })),
        goodMachine: model.goodMachine,
        daysSinceUpkeep: own[0]?.startsOn ? daysBetween(own[0].startsOn, today) : null,
        lately: latelyBlamed(latest.slice(0, lately), machine, shapes, model),
        halves: halvesOf(latest, model),
      }
      return [printerId, whenToLook(question)]
    }),
  )
}

/** The upkeep periods of printers with the copies tried in each, the newest of each printer first. */
async function periodsOfPrinters(db: Db, printerIds: readonly string[]) {
  return periods(db)
    .select((eb) =>
      eb
        .selectFrom('report')
        .select((sum) => sum.fn.coalesce(sum.fn.sum<number>('report.tried'), sum.lit(0)).as('tried'))
        .whereRef('report.printerPeriodId', '=', 'printerPeriod.id')
        .$asScalar()
        .$notNull()
        .as('tried'),
    )
    .where('printerPeriod.printerId', '=', sql<string>`any(${printerIds}::uuid[])`)
    .orderBy('printerPeriod.startsOn', (order) => order.desc().nullsLast())
    .execute()
}

const dayMs = 86_400_000
const daysBetween = (from: string, to: string) => Math.round((Date.parse(to) - Date.parse(from)) / dayMs)

/** How many of the latest plates failed, and what share of their failed copies the machine is to blame for. */
function latelyBlamed(
  plates: readonly ReportEvidence[],
  machine: Shape,
  shapes: ReadonlyMap<string, Shape>,
  model: Model,
): LookQuestion['lately'] {
  const failed = plates.filter(({ failures }) => failures.length > 0)
  let [copies, blamed] = [0, 0]
  for (const plate of failed) {
    const { failures, crowding } = plate
    const file: Shape = shapes.get(lineKey(plate)) ?? [1, 1]
    const own = failures.reduce((sum, failure) => sum + failure.copies, 0)
    copies += own
    blamed += own * verdict({ failures, shapes: { file, machine, plate: model.plates[crowding] } }).machine
  }
  return { plates: plates.length, failedPlates: failed.length, machineShare: copies === 0 ? 0 : blamed / copies }
}

/** The machine's success over the earlier and over the later half of a period's plates. */
function halvesOf(latestFirst: readonly ReportEvidence[], { hyper }: Model): LookQuestion['halves'] {
  const plates = Math.floor(latestFirst.length / 2)
  const shapeOf = (some: readonly ReportEvidence[]) => machineShapeOf(hyper, totalOf(some))
  return {
    plates,
    earlier: shapeOf(latestFirst.slice(latestFirst.length - plates)),
    later: shapeOf(latestFirst.slice(0, plates)),
  }
}

/** What plates tell of the machine: the good copies, and what is made of the failed ones. */
function totalOf(plates: readonly ReportEvidence[]): Total {
  const total = { x: 0, y: 0 }
  for (const { tried, good, memberWeight, failures } of plates) {
    const weight = memberWeight * copyWeight(tried, startingRho)
    total.x += good * weight
    for (const { copies, message } of failures) {
      const [, , machineX = 0, machineY = 0] = message ?? []
      total.x += copies * weight * machineX
      total.y += copies * weight * machineY
    }
  }
  return total
}
