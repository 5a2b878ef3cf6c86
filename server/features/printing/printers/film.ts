import { sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'
import type { UpkeepKind } from '../../../../db/tables.ts'
import { type Draws, meanOf } from '../../../scoring/draws.ts'
import { wantsLook as wornEnough } from '../../../scoring/verdict.ts'
import { type GroupModel, groupModel } from '../../evidence/queries.ts'
import { type Machine, machinesOf } from './machines.ts'
import type { FilmPlate } from './schema.ts'

/** Why a printer wants a look, or that nothing asks for one. */
export type Because =
  | 'probably worn'
  | 'worse than in order'
  | 'usual life of a film'
  | 'long idle'
  | 'nothing speaks for it'

/** Film, level and vat of a printer since its last upkeep. */
export interface Film extends Machine {
  wantsLook: boolean
  because: Because
  /** whole days since anything was printed on it or done to it; null when nothing ever was */
  idleDays: number | null
  /** plates that a film usually lasts in this group, as far as is known; null before the first fit */
  usualLife: number | null
}

/** A printer wants a look once its machine is this likely to be worse than one in order. (Common practice, no source.) */
const sureEnough = 0.9

/** Film, level and vat want a look every few months of regular printing. (Common practice, no source.) */
const longDays = 120

/**
 * Films of printers as they are now.
 *
 * @param today the day from which "long idle" counts, `YYYY-MM-DD`
 * @returns by printer
 */
export async function filmsOf(db: Db, printerIds: readonly string[], today: string): Promise<Map<string, Film>> {
  if (printerIds.length === 0) return new Map()
  const model = await groupModel(db)
  const machines = await machinesOf(db, printerIds, model)
  return new Map([...machines].map(([printerId, machine]) => [printerId, filmIn(machine, today, model)]))
}

/** The film of a machine in its present period. */
export function filmIn<Known extends Machine>(machine: Known, today: string, model: GroupModel): Known & Film {
  const usualLife = model.isFitted ? Math.round(1 / meanOf(model.group.hazard)) : null
  const idleDays = idleFor(machine, today)
  const because = reasonFor(machine, usualLife, idleDays, model)
  return { ...machine, wantsLook: because !== 'nothing speaks for it', because, idleDays, usualLife }
}

const dayMs = 86_400_000

function idleFor({ startsOn, lastPrintedOn }: Machine, today: string): number | null {
  const last = (lastPrintedOn ?? '') > (startsOn ?? '') ? lastPrintedOn : startsOn
  return last === null ? null : Math.round((Date.parse(today) - Date.parse(last)) / dayMs)
}

function reasonFor(
  machine: Machine,
  usualLife: number | null,
  idleDays: number | null,
  { machineInOrder }: GroupModel,
): Because {
  const { worn, plates } = machine
  if (worn > wornEnough) return 'probably worn'
  if (machine.isCounted && chanceBelow(machine.draws, machineInOrder) > sureEnough) return 'worse than in order'
  if (usualLife !== null && plates >= usualLife) return 'usual life of a film'
  return idleDays !== null && idleDays > longDays ? 'long idle' : 'nothing speaks for it'
}

/** A machine may have done badly from its first plate on: then nothing changed, and upkeep was of no use. */
function chanceBelow(machine: Draws, inOrder: Draws): number {
  return meanOf(machine.map((p, draw) => (p < (inOrder[draw] ?? 0) ? 1 : 0)))
}

/** The latest plates of printers over their upkeep periods, oldest first. @param most plates of each */
export async function filmPlatesOf(
  db: Db,
  printerIds: readonly string[],
  { fit }: GroupModel,
  most: number,
): Promise<Map<string, FilmPlate[]>> {
  if (printerIds.length === 0) return new Map()
  const { rows } = await sql<Drawn>`
    select latest.id, latest.printer_id, latest.printed_on, latest.tried, latest.good, plate_wear.worn, period.starts_on, (
      select json_agg(kind order by upkeep.id) from upkeep
      where upkeep.printer_id = latest.printer_id and upkeep.done_on = period.starts_on
    ) as kinds
    from unnest(${[...printerIds]}::uuid[]) wanted (printer_id)
    cross join lateral (
      select plate.id, plate.printer_id, printed_on, printer_period_id, sum(tried) as tried, sum(good) as good
      from plate join print on print.plate_id = plate.id
      where plate.printer_id = wanted.printer_id and told
      group by plate.id order by printed_on desc, plate.id desc limit ${most}::integer
    ) latest
    join printer_period period on period.id = latest.printer_period_id
    left join plate_wear on plate_wear.plate_id = latest.id and plate_wear.fit = ${fit}
    order by period.starts_on nulls first, latest.printed_on, latest.id`.execute(db)
  return new Map(printerIds.map((id) => [id, withUpkeep(rows.filter(({ printerId }) => printerId === id))]))
}

type Drawn = Omit<FilmPlate, 'upkeep'> & { printerId: string; startsOn: string | null; kinds: UpkeepKind[] | null }

/** What was done stands at the first plate after it. */
const withUpkeep = (rows: readonly Drawn[]): FilmPlate[] =>
  rows.map(({ printerId: _printer, startsOn, kinds, ...plate }, index) => {
    const isFirst = index > 0 && rows[index - 1]?.startsOn !== startsOn
    return { ...plate, ...(isFirst && kinds && { upkeep: kinds }) }
  })
