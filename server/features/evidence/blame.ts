import { sql } from 'kysely'
import type { Db } from '../../../db/connect.ts'
import { often } from '../../../db/often.ts'
import type { Crowding } from '../../../db/tables.ts'
import { type Blame, blameOfPlate } from '../../scoring/blame.ts'
import { sumOf } from '../../scoring/draws.ts'
import { drawsOfMachineInOrder, type GroupDraws } from '../../scoring/group-draws.ts'
import type { Stage } from '../../scoring/labels.ts'
import { confounded, type LineEvidence } from '../../scoring/verdict.ts'
import { drawsOfLine, type KeptLine, keptOfLine, lineRecords } from './lines.ts'
import { knownModels, modelColumns, modelOf, type StoredModel } from './model.ts'
import { storedDraws } from './storing.ts'

/** Whose fault the failed copies of a plate were. */
export interface PlateBlame extends Blame {
  /** those of which something failed */
  prints: ({ printId: string } & Blame)[]
  /** by the last fit, which knows the plate; else by what was known before it, and by the plate alone */
  counted: boolean
  /** chance that the machine is worn, at the last plate of the period that the fit knows */
  worn: number
  /** what is known of a failed file that can't be told from its printer yet; null where all can */
  untold: LineEvidence | null
  /** what the group is like, by the same fit */
  group: GroupDraws
}

/** @returns null when nothing failed, or the prints are not told yet, or there is no such plate */
export async function blameOf(db: Db, plateId: string): Promise<PlateBlame | null> {
  const known = knownModels()
  const prints = await printsOf(db, { plateId, known: [...known.keys()] })
  const [first] = prints
  const failed = prints.filter(({ failures }) => failures.length > 0)
  if (!first || failed.length === 0) return null
  const { group } = modelOf(first, known)
  const blamed = blameInFit(failed) ?? blameByItself(first, prints, group)
  const untold = failed.flatMap(({ evidence }) => evidence ?? []).find(confounded) ?? null
  return { ...blamed, worn: first.worn ?? 0, untold, group }
}

interface JudgedPrint extends KeptLine, StoredModel {
  id: string
  good: number
  failures: { seen: string; copies: number }[]
  crowding: Crowding
  periodId: string
  machine: Buffer | null
  worn: number | null
  /** by the fit; null where that does not know the plate as it is now */
  shares: Pick<Blame, 'file' | 'machine'> | null
  /** null where its file can be told from its printer */
  evidence: LineEvidence | null
}

const fit = sql<number>`scoring_fit.fit`

const printsOf = often(
  (_, { plateId, known }: { plateId: string; known: string[] }) => sql<JudgedPrint>`
    with line as materialized (
      select print.id, print.good, plate.crowding, plate.printer_period_id as period_id, revision.file_id,
        support_set.kind, file.sculptor_id
      from plate
      join print on print.plate_id = plate.id
      join support_set on support_set.id = print.support_set_id
      join revision on revision.id = support_set.revision_id
      join file on file.id = revision.file_id
      where plate.id = ${plateId} and plate.told
    )
    select line.*, line_draws.draws, sculptor_draws.draws as sculptor_draws, period_draws.draws as machine, period_draws.worn,
      ${modelColumns(known)}, record.evidence,
      case when print_blame.fit is not null and not exists (select from fit_mark where fit_mark.plate_id = ${plateId})
        then json_build_object('file', print_blame.file, 'machine', print_blame.machine) end as shares, (
        select coalesce(json_agg(json_build_object('seen', seen, 'copies', copies) order by seen), '[]')
        from print_failure where print_failure.print_id = line.id
      ) as failures
    from line cross join scoring_fit ${keptOfLine('line', fit)}
    left join period_draws on period_draws.period_id = line.period_id and period_draws.fit = ${fit}
    left join print_blame on print_blame.print_id = line.id and print_blame.fit = ${fit}
    left join ${lineRecords(sql`array(select distinct file_id from line)`)} record
      on record.file_id = line.file_id and record.kind = line.kind
    order by line.id`,
)

type Blamed = Omit<PlateBlame, 'untold' | 'worn' | 'group'>

/** As the fit has it, which has drawn the plate's causes with everything else that the group knows. */
function blameInFit(failed: readonly JudgedPrint[]): Blamed | undefined {
  const prints = failed.flatMap(({ id, shares }) => {
    return shares ? [{ printId: id, ...shares, plate: Math.max(0, 1 - shares.file - shares.machine) }] : []
  })
  if (prints.length < failed.length) return undefined
  const copies = failed.map(({ failures }) => sumOf(failures.map((failure) => failure.copies)))
  const share = (stage: Stage) => sumOf(prints.map((print, at) => (copies[at] ?? 0) * print[stage])) / sumOf(copies)
  return { file: share('file'), machine: share('machine'), plate: share('plate'), prints, counted: true }
}

/** By what was known before the plate, and by the plate. */
function blameByItself(first: JudgedPrint, prints: readonly JudgedPrint[], group: GroupDraws): Blamed {
  const judged = blameOfPlate({
    crowding: first.crowding,
    machine: first.machine ? storedDraws(first.machine) : drawsOfMachineInOrder(group, first.periodId),
    prints: prints.map((print) => ({ ...print, file: drawsOfLine(print, group, { apart: true }) })),
    group,
  })
  return {
    ...(judged.plate ?? { file: 1 / 3, machine: 1 / 3, plate: 1 / 3 }),
    prints: prints.flatMap(({ id }, index) => {
      const blame = judged.prints[index]
      return blame ? [{ printId: id, ...blame }] : []
    }),
    counted: false,
  }
}
