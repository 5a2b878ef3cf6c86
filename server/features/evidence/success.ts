import { sql } from 'kysely'
import type { Db } from '../../../db/connect.ts'
import { often, unseen } from '../../../db/often.ts'
import type { SupportKind } from '../../../db/tables.ts'
import { recent } from '../../../web/parts/kept.ts'
import { type Draws, productOf, type Summary, summaryOf } from '../../scoring/draws.ts'
import { confounded, type LineEvidence } from '../../scoring/verdict.ts'
import { supportSetAges } from './ages.ts'
import { drawsOfLine, type KeptLine, keptOfLine, lineRecords } from './lines.ts'
import { type GroupModel, groupModel } from './model.ts'

/** The sculptor's other files with such supports, any file that the group has printed, or no print at all. */
export type Basis = 'sculptor' | 'group' | 'nothing'

/** How well a file prints with one kind of support. */
export interface LineSuccess extends Summary {
  kind: SupportKind
  /** of the newest revision that has this kind; null where no supports were entered at all */
  supportSetId: string | null
  /** the file alone; mean and 80 % interval beside them are of these */
  draws: Draws
  /** all in: a copy on a machine in order and a plate about full */
  comesOut: Summary
  /** copies' worth of prints behind it; 0 while it is a guess */
  copies: number
  /** what it is guessed from while there are no copies */
  basis: Basis
  /** nearly all from one printer, and nobody saw why it failed: the file can't be told from that printer yet */
  cantTell: boolean
}

/**
 * How well files print, a line for each kind of support that they have; a file without any supports entered has one
 * line `as supplied`, guessed from its sculptor's others.
 *
 * @param known the model, where the request has read it already
 * @param doubts whether `cantTell` is asked for, which takes reading prints; false without
 * @returns by file; an unknown file is missing
 */
export async function successOfFiles(
  db: Db,
  fileIds: readonly string[],
  known?: GroupModel,
  { doubts = true } = {},
): Promise<Map<string, LineSuccess[]>> {
  if (fileIds.length === 0) return new Map()
  const model = known ?? (await groupModel(db))
  const lines = await linesOf(db, { fileIds, fit: model.fit, ...(doubts && { doubts }) })
  const byFile = Map.groupBy(lines, ({ fileId }) => fileId)
  return new Map([...byFile].map(([fileId, own]) => [fileId, own.map((line) => successOf(line, model))]))
}

interface StoredLine extends KeptLine {
  supportSetId: string | null
  copies: number | null
  /** null where file and machine can be told apart, or nobody asks */
  evidence: LineEvidence | null
}

function successOf(line: StoredLine, model: GroupModel): LineSuccess {
  const { kind, supportSetId, copies, evidence } = line
  const basis = line.draws || line.sculptorDraws ? 'sculptor' : model.hasReports ? 'group' : 'nothing'
  const cantTell = evidence !== null && confounded(evidence) !== undefined
  return { kind, supportSetId, ...figuresOf(line, model), copies: copies ?? 0, basis, cantTell }
}

type Figures = Pick<LineSuccess, 'draws' | 'comesOut' | keyof Summary>

/**
 * By what the fit keeps of a line, so that a line that is shown again costs nothing to work out: neither here nor by what is
 * kept of its draws (scoring/once.ts). Only what a process has of the same fit is found, and so many lines of it.
 */
const figures = new WeakMap<GroupModel['group'], ReturnType<typeof recent<Figures>>>()
const mostKept = 400

function figuresOf(line: StoredLine, model: GroupModel): Figures {
  const ofFit = figures.get(model.group) ?? recent<Figures>(mostKept)
  figures.set(model.group, ofFit)
  const key = line.draws ? `own ${line.draws.toString('latin1')}` : `sculptor ${line.sculptorDraws?.toString('latin1')}`
  return ofFit(key, () => {
    const draws = drawsOfLine(line, model.group)
    const comesOut = productOf(draws, model.machineInOrder, model.group.plates['about full'])
    return { draws, ...summaryOf(draws), comesOut: summaryOf(comesOut) }
  })
}

/** Every kind of support of the files with its newest set and the record of its prints; `as supplied` without a set where there is none at all. */
const linesOf = often(
  (db, { fileIds, fit, doubts }: { fileIds: readonly string[]; fit: number; doubts?: boolean }) => sql<StoredLine>`
    select line.*, line_draws.draws, line_draws.copies, sculptor_draws.draws as sculptor_draws,
      ${doubts === undefined ? sql`null` : sql`record.evidence`} as evidence
    from (
      select file.id as file_id, file.sculptor_id, coalesce(age.kind, 'as supplied') as kind, age.support_set_id
      from file left join ${supportSetAges(db, fileIds).as('age')} on age.file_id = file.id and age.lag = 0
      where file.id = any(${unseen(fileIds, 'uuid[]')})
    ) line ${keptOfLine('line', fit)}
    ${doubts === undefined ? sql`` : sql`left join ${lineRecords(unseen(fileIds, 'uuid[]'))} record on record.file_id = line.file_id and record.kind = line.kind`}
    order by line.file_id, line.kind`,
)
