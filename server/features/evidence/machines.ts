import { type RawBuilder, sql } from 'kysely'
import type { Db } from '../../../db/connect.ts'
import { often } from '../../../db/often.ts'
import type { Summary } from '../../scoring/beta.ts'
import { type Draws, summaryOf } from '../../scoring/draws.ts'
import { storedDraws } from './kept.ts'
import { type GroupModel, groupModel } from './model.ts'

/** A printer between two dates of upkeep, as it is at its last plate; the interval is of its draws. */
export interface Machine extends Summary {
  /** null for a printer that does not exist (any more) */
  periodId: string | null
  /** the day of the upkeep that began it; null for the time before any was noted */
  startsOn: string | null
  draws: Draws
  /** chance that it is worn, 0-1 */
  worn: number
  /** whether the fit knows any of its plates; else it is taken for any machine in order */
  isCounted: boolean
  /** told in it, and their copies */
  plates: number
  tried: number
  good: number
  lastPrintedOn: string | null
}

/** A printer as it is now. */
export async function machineOf(db: Db, printerId: string, known?: GroupModel): Promise<Machine> {
  const model = known ?? (await groupModel(db))
  return (await machinesOf(db, [printerId], model)).get(printerId) ?? asMachine(noPeriod, model)
}

/** Printers as they are now, by id. */
export async function machinesOf(
  db: Db,
  printerIds: readonly string[],
  known?: GroupModel,
): Promise<Map<string, Machine>> {
  if (printerIds.length === 0) return new Map()
  const model = known ?? (await groupModel(db))
  const rows = await presentPeriods(db, { printerIds, fit: model.fit })
  return new Map(rows.map((row) => [row.printerId, asMachine(row, model)]))
}

/** Every upkeep period of a printer, newest first. */
export async function machineByPeriod(db: Db, printerId: string, model: GroupModel): Promise<Machine[]> {
  return (await everyPeriod(db, { printerId, fit: model.fit })).map((row) => asMachine(row, model))
}

type StoredPeriod = Pick<Machine, 'periodId' | 'startsOn' | 'plates' | 'tried' | 'good' | 'lastPrintedOn'> & {
  draws: Buffer | null
  worn: number | null
}

const noPeriod: StoredPeriod = {
  ...{ periodId: null, startsOn: null, draws: null, worn: null },
  ...{ plates: 0, tried: 0, good: 0, lastPrintedOn: null },
}

const presentPeriods = often((_, { printerIds, fit }: { printerIds: readonly string[]; fit: number }) =>
  periodsOf(
    sql`(
      select distinct on (printer_id) * from printer_period where printer_id = any(${printerIds}::uuid[])
      order by printer_id, starts_on desc nulls last
    )`,
    fit,
  ),
)

const everyPeriod = often((_, { printerId, fit }: { printerId: string; fit: number }) =>
  periodsOf(sql`(select * from printer_period where printer_id = ${printerId})`, fit),
)

const periodsOf = (periods: RawBuilder<unknown>, fit: number) =>
  sql<StoredPeriod & { printerId: string }>`
    select period.printer_id, period.id as period_id, period.starts_on, period_draws.draws, period_draws.worn, printed.*
    from ${periods} period
    left join period_draws on period_draws.period_id = period.id and period_draws.fit = ${fit}
    cross join lateral (
      select count(distinct plate.id) as plates, coalesce(sum(tried), 0) as tried, coalesce(sum(good), 0) as good,
        max(printed_on) as last_printed_on
      from plate join print on print.plate_id = plate.id
      where plate.printer_period_id = period.id and plate.told
    ) printed
    order by period.starts_on desc nulls last`

function asMachine({ draws: kept, worn, ...period }: StoredPeriod, { machineInOrder }: GroupModel): Machine {
  const draws = kept ? storedDraws(kept) : machineInOrder
  return { ...period, draws, ...summaryOf(draws), worn: worn ?? 0, isCounted: kept !== null }
}
