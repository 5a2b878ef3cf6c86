import { type RawBuilder, sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'
import { often } from '../../../../db/often.ts'
import { recent } from '../../../../web/parts/kept.ts'
import { type Draws, type Summary, summaryOf } from '../../../scoring/draws.ts'
import { wantsLook as wornEnough } from '../../../scoring/verdict.ts'
import { type GroupModel, storedDraws } from '../../evidence/queries.ts'

/** A printer between two dates of upkeep, as it is at its last plate; the interval is of its draws. */
export interface Machine extends Summary {
  periodId: string
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
  /** the plate with which the wear most likely began; null while it is not likely */
  wornSince: { plateId: string; printedOn: string } | null
}

/** What is asked of an upkeep period. */
export const periodColumns = sql`printer_period.id as period_id, printer_period.printer_id, printer_period.starts_on`

/** Printers as they are now, by id. */
export async function machinesOf(
  db: Db,
  printerIds: readonly string[],
  model: GroupModel,
): Promise<Map<string, Machine>> {
  const rows = await presentPeriods(db, { printerIds, fit: model.fit })
  return new Map(rows.map((row) => [row.printerId, asMachine(row, model)]))
}

const presentPeriods = often((_, { printerIds, fit }: { printerIds: readonly string[]; fit: number }) => {
  const present = sql<object>`(
    select distinct on (printer_id) ${periodColumns} from printer_period
    where printer_id = any(${printerIds}::uuid[]) order by printer_id, starts_on desc nulls last
  )`
  return machinesIn(present, fit)
})

/** Every upkeep period of a printer, newest first. */
export async function machineByPeriod(db: Db, printerId: string, model: GroupModel): Promise<Machine[]> {
  return (await everyPeriod(db, { printerId, fit: model.fit })).map((row) => asMachine(row, model))
}

const everyPeriod = often((_, { printerId, fit }: { printerId: string; fit: number }) =>
  machinesIn(sql<object>`(select ${periodColumns} from printer_period where printer_id = ${printerId})`, fit),
)

/** A row of `machinesIn`. */
type StoredPeriod = Omit<Machine, keyof Summary | 'draws' | 'worn' | 'isCounted'> & {
  draws: Buffer | null
  worn: number | null
}

/**
 * The machine in each of some upkeep periods, those that began last first: a statement whose rows go through `asMachine`.
 *
 * @param periods subquery with `periodColumns`; what else it selects comes along
 */
export const machinesIn = <More extends object>(periods: RawBuilder<More>, fit: number) =>
  sql<More & StoredPeriod & { printerId: string }>`
    select period.*, period_draws.draws, period_draws.worn, printed.*, (
      select json_build_object('plateId', change.id, 'printedOn', change.printed_on)
      from (
        select plate.id, plate.printed_on,
          plate_wear.worn - lag(plate_wear.worn, 1, 0) over (order by plate.printed_on, plate.id) as begins
        from plate join plate_wear on plate_wear.plate_id = plate.id and plate_wear.fit = period_draws.fit
        where plate.printer_period_id = period.period_id and period_draws.worn > ${sql.lit(wornEnough)}
      ) change
      order by begins desc, printed_on, id limit 1
    ) as worn_since
    from ${periods} period
    left join period_draws on period_draws.period_id = period.period_id and period_draws.fit = ${fit}
    cross join lateral (
      select count(distinct plate.id) as plates, coalesce(sum(tried), 0) as tried, coalesce(sum(good), 0) as good,
        max(printed_on) as last_printed_on
      from plate join print on print.plate_id = plate.id
      where plate.printer_period_id = period.period_id and plate.told
    ) printed
    order by period.starts_on desc nulls last`

export function asMachine<Period extends StoredPeriod>(
  { draws: kept, worn, ...period }: Period,
  { machineInOrder }: GroupModel,
) {
  const known = kept ? figuresOf(kept.toString('latin1'), () => figures(storedDraws(kept))) : figures(machineInOrder)
  return { ...period, ...known, worn: worn ?? 0, isCounted: kept !== null }
}

const figures = (draws: Draws) => ({ draws, ...summaryOf(draws) })

/** Of the machines that were looked at last, by what the fit keeps of them. */
const figuresOf = recent<ReturnType<typeof figures>>(300)
