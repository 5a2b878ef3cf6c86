import { sql } from 'kysely'
import type { Db } from '../../../db/connect.ts'
import { often } from '../../../db/often.ts'
import type { Crowding } from '../../../db/tables.ts'
import { type Blame, blameOfPlate } from '../../scoring/blame.ts'
import { drawsOfMachineInOrder } from '../../scoring/draws.ts'
import { confounded } from '../../scoring/verdict.ts'
import { storedDraws } from './kept.ts'
import { drawsOfLine, type KeptLine, keptOfLine, recordsOf } from './lines.ts'
import { type GroupModel, groupModel } from './model.ts'
import { lineKey } from './rules.ts'

/** Whose fault the failed copies of a plate were. */
export interface PlateBlame extends Blame {
  /** those of which something failed */
  prints: ({ printId: string } & Blame)[]
  /** by the last fit, which knows the plate; else by what was known before it, and by the plate alone */
  counted: boolean
  /** chance that the machine is worn, at the last plate of the period that the fit knows */
  worn: number
  /** a failed file can't be told from its printer yet */
  cantTell: boolean
}

/**
 * @param known the model, where the request has read it already
 * @returns null when nothing failed, or the prints are not told yet, or there is no such plate
 */
export async function blameOf(db: Db, plateId: string, known?: GroupModel): Promise<PlateBlame | null> {
  const model = known ?? (await groupModel(db))
  const prints = await printsOf(db, { plateId, fit: model.fit })
  const failed = prints.filter(({ failures }) => failures.length > 0)
  if (failed.length === 0) return null
  const blamed = blameInFit(failed) ?? blameByItself(prints, model)
  const records = await recordsOf(db, [...new Set(failed.map(({ fileId }) => fileId))])
  const untold = new Set(records.filter(confounded).map(lineKey))
  return { ...blamed, worn: prints[0]?.worn ?? 0, cantTell: failed.some((print) => untold.has(lineKey(print))) }
}

interface JudgedPrint extends KeptLine {
  id: string
  good: number
  failures: { seen: string; copies: number }[]
  crowding: Crowding
  periodId: string
  machine: Buffer | null
  worn: number | null
  /** the fit knows the plate as it is now */
  isCounted: boolean
  file: number | null
  ofMachine: number | null
}

const printsOf = often(
  (_, { plateId, fit }: { plateId: string; fit: number }) => sql<JudgedPrint>`
    select line.*, line_draws.draws, sculptor_draws.draws as sculptor_draws, period_draws.draws as machine, period_draws.worn,
      print_blame.file, print_blame.machine as of_machine,
      not exists (select from fit_mark where fit_mark.plate_id = ${plateId}) as is_counted, (
        select coalesce(json_agg(json_build_object('seen', seen, 'copies', copies) order by seen), '[]')
        from print_failure where print_failure.print_id = line.id
      ) as failures
    from (
      select print.id, print.good, plate.crowding, plate.printer_period_id as period_id, revision.file_id,
        support_set.kind, file.sculptor_id
      from plate
      join print on print.plate_id = plate.id
      join support_set on support_set.id = print.support_set_id
      join revision on revision.id = support_set.revision_id
      join file on file.id = revision.file_id
      where plate.id = ${plateId} and plate.told
    ) line ${keptOfLine('line', fit)}
    left join period_draws on period_draws.period_id = line.period_id and period_draws.fit = ${fit}
    left join print_blame on print_blame.print_id = line.id and print_blame.fit = ${fit}
    order by line.id`,
)

type Blamed = Omit<PlateBlame, 'cantTell' | 'worn'>

/** As the fit has it, which has drawn the plate's causes with everything else that the group knows. */
function blameInFit(failed: readonly JudgedPrint[]): Blamed | undefined {
  const prints: Blamed['prints'] = []
  const sums = { file: 0, machine: 0, plate: 0 }
  let copies = 0
  for (const { id, isCounted, file, ofMachine: machine, failures } of failed) {
    if (!isCounted || file === null || machine === null) return undefined
    const blame = { file, machine, plate: Math.max(0, 1 - file - machine) }
    const own = failures.reduce((sum, failure) => sum + failure.copies, 0)
    copies += own
    for (const stage of ['file', 'machine', 'plate'] as const) sums[stage] += own * blame[stage]
    prints.push({ printId: id, ...blame })
  }
  return { file: sums.file / copies, machine: sums.machine / copies, plate: sums.plate / copies, prints, counted: true }
}

/** By what was known before the plate, and by the plate. */
function blameByItself(prints: readonly JudgedPrint[], model: GroupModel): Blamed {
  const [first] = prints
  const { group } = model
  const judged = blameOfPlate({
    crowding: first?.crowding ?? 'about full',
    machine: first?.machine ? storedDraws(first.machine) : drawsOfMachineInOrder(group, first?.periodId),
    prints: prints.map((print) => ({ ...print, file: drawsOfLine(print, model, { apart: true }) })),
    group,
  })
  const plate = judged.plate ?? { file: 1 / 3, machine: 1 / 3, plate: 1 / 3 }
  return {
    ...plate,
    prints: prints.flatMap(({ id }, index) => {
      const blame = judged.prints[index]
      return blame ? [{ printId: id, ...blame }] : []
    }),
    counted: false,
  }
}
