import { sql } from 'kysely'
import type { Db } from '../../../db/connect.ts'
import type { Summary } from '../../scoring/beta.ts'
import { type Draws, drawsOfMachineInOrder, summaryOf } from '../../scoring/draws.ts'
import { storedDraws } from './kept.ts'
import { type GroupModel, groupModel } from './model.ts'

/** A printer since its last upkeep, as it is at its last plate. */
export interface Machine extends Summary {
  /** null for a printer that does not exist (any more) */
  periodId: string | null
  draws: Draws
  /** chance that it is worn, 0-1 */
  worn: number
  /** told since then */
  plates: number
}

/** A printer as it is now; one that nothing is known of is any machine in order. */
export async function machineOf(db: Db, printerId: string, known?: GroupModel): Promise<Machine> {
  const model = known ?? (await groupModel(db))
  const machines = await machinesOf(db, [printerId], model)
  return machines.get(printerId) ?? asMachine({ id: null, draws: null, worn: null, plates: 0 }, model)
}

/** Printers as they are now, by id. */
export async function machinesOf(
  db: Db,
  printerIds: readonly string[],
  known?: GroupModel,
): Promise<Map<string, Machine>> {
  if (printerIds.length === 0) return new Map()
  const model = known ?? (await groupModel(db))
  const { rows } = await sql<StoredPeriod & { printerId: string }>`
    select distinct on (period.printer_id) period.printer_id, ${periodColumns}
    from printer_period period ${keptOfPeriod(model)}
    where period.printer_id = any(${printerIds}::uuid[])
    order by period.printer_id, period.starts_on desc nulls last`.execute(db)
  return new Map(rows.map((row) => [row.printerId, asMachine(row, model)]))
}

/** Every upkeep period of a printer, newest first. */
export async function machineByPeriod(
  db: Db,
  printerId: string,
  model: GroupModel,
): Promise<(Machine & { startsOn: string | null })[]> {
  const { rows } = await sql<StoredPeriod & { startsOn: string | null }>`
    select period.starts_on, ${periodColumns}
    from printer_period period ${keptOfPeriod(model)}
    where period.printer_id = ${printerId}
    order by period.starts_on desc nulls last`.execute(db)
  return rows.map((row) => ({ startsOn: row.startsOn, ...asMachine(row, model) }))
}

interface StoredPeriod {
  id: string | null
  draws: Buffer | null
  worn: number | null
  plates: number
}

const periodColumns = sql`period.id, period_draws.draws, period_draws.worn,
  (select count(*) from plate where plate.printer_period_id = period.id and plate.told) as plates`

const keptOfPeriod = ({ fit }: GroupModel) =>
  sql`left join period_draws on period_draws.period_id = period.id and period_draws.fit = ${fit}`

function asMachine({ id, draws: kept, worn, plates }: StoredPeriod, { group }: GroupModel): Machine {
  const draws = kept ? storedDraws(kept) : drawsOfMachineInOrder(group, id ?? undefined)
  return { periodId: id, draws, ...summaryOf(draws), worn: worn ?? 0, plates }
}
