import { sql } from 'kysely'
import { type Db, often } from '../../../db/connect.ts'
import type { SupportKind } from '../../../db/tables.ts'
import type { Shape } from '../../scoring/beta.ts'
import type { Told } from '../../scoring/cases.ts'
import type { Total } from '../../scoring/priors.ts'
import { successOfSet } from '../../scoring/success.ts'
import { confounded } from '../../scoring/verdict.ts'
import { supportSetAges } from './ages.ts'
import { lineEvidence, noEvidence } from './line-evidence.ts'
import { currentFit, hyperOf } from './model.ts'
import { givenRows } from './rows.ts'
import { groupKey, type LineOfSculptor, lineKey } from './rules.ts'
import { type StoredCases, toldOf } from './told.ts'

/** The sculptor's other files with such supports, or, where nobody has printed any of those, everything the group printed. */
export type Basis = 'sculptor' | 'group'

/** How well a file prints with one kind of support. */
export interface LineSuccess {
  kind: SupportKind
  /** of the newest revision that has this kind; null where no supports were entered at all */
  supportSetId: string | null
  /** the one Beta nearest to it */
  shape: Shape
  mean: number
  /** ends of the 80 % interval */
  low: number
  high: number
  /** copies' worth of reports behind it; 0 while it is a guess from the sculptor's other files, or the group's */
  copies: number
  /** what it is guessed from while there are no copies */
  basis: Basis
  /** nearly all from one printer, and nobody saw why it failed: the file can't be told from that printer yet */
  cantTell: boolean
}

/**
 * How well files print, a line for each kind of support that they have; a file without any supports entered has one
 * line `as supplied`, guessed from its sculptor's record.
 *
 * @returns by file; an unknown file is missing
 */
export async function successOfFiles(db: Db, fileIds: readonly string[]): Promise<Map<string, LineSuccess[]>> {
  if (fileIds.length === 0) return new Map()
  const lines = await linesOf(db, fileIds)
  const stored = await db
    .selectFrom('printSuccess')
    .select(['fileId', 'kind', 'shapeA', 'shapeB', 'mean', 'low', 'high', 'copies'])
    .where('fileId', 'in', fileIds)
    .where('fit', '=', currentFit)
    .execute()
  const known = new Map(stored.map((row) => [lineKey(row), row]))
  const guessed = await guesses(
    db,
    lines.filter((line) => !known.has(lineKey(line))),
  )
  const evidence = await lineEvidence(db, fileIds)
  const recorded = await groupsWithRecord(
    db,
    lines.filter((line) => (known.get(lineKey(line))?.copies ?? 0) <= 0),
  )
  const result = new Map<string, LineSuccess[]>()
  for (const line of lines) {
    const row = known.get(lineKey(line))
    const success: Figures | undefined = row ? figuresOf(row) : guessed.get(groupKey(line))
    if (!success) continue
    const { supportSetId, kind } = line
    const cantTell = confounded(evidence.get(lineKey(line)) ?? noEvidence) !== undefined
    const basis: Basis = recorded.has(groupKey(line)) ? 'sculptor' : 'group'
    result.set(line.fileId, [...(result.get(line.fileId) ?? []), { kind, supportSetId, ...success, basis, cantTell }])
  }
  return result
}

/** Every kind of support of the files with its newest set; `as supplied` without a set where there is none at all. */
async function linesOf(db: Db, fileIds: readonly string[]) {
  const rows = await db
    .selectFrom('file')
    .leftJoin(supportSetAges(db, fileIds).as('age'), (join) =>
      join.onRef('age.fileId', '=', 'file.id').on('age.lag', '=', 0),
    )
    .select(['file.id as fileId', 'file.sculptorId', 'age.kind', 'age.supportSetId'])
    .where('file.id', 'in', fileIds)
    .orderBy('file.id')
    .orderBy('age.kind')
    .execute()
  return rows.map((row) => ({ ...row, kind: row.kind ?? ('as supplied' as const) }))
}

type Figures = Omit<LineSuccess, 'kind' | 'supportSetId' | 'basis' | 'cantTell'>

type Stored = Omit<Figures, 'shape'> & { shapeA: number; shapeB: number }

const figuresOf = ({ shapeA, shapeB, mean, low, high, copies }: Stored): Figures => ({
  ...{ shape: [shapeA, shapeB], mean, low, high, copies },
})

/** What lines that nobody has printed are taken for, by group: what their sculptor's other files suggest. */
async function guesses(db: Db, lines: readonly LineOfSculptor[]): Promise<Map<string, Figures>> {
  if (lines.length === 0) return new Map()
  const hyper = await hyperOf(db)
  const records = await recordsOf(db, lines)
  const guess = (group: string): Figures => ({
    ...successOfSet({ x: 0, y: 0 }, records.get(group) ?? [], hyper),
    copies: 0,
  })
  return new Map([...new Set(lines.map(groupKey))].map((group) => [group, guess(group)]))
}

/** Of these lines' sculptors with their kinds of support, those of whom anything was printed. */
async function groupsWithRecord(db: Db, lines: readonly LineOfSculptor[]): Promise<Set<string>> {
  if (lines.length === 0) return new Set()
  const { rows } = await sql<Omit<LineOfSculptor, 'fileId'>>`
    select distinct wanted.sculptor_id, wanted.kind
    from unnest(${lines.map(({ sculptorId }) => sculptorId)}::uuid[], ${lines.map(({ kind }) => kind)}::text[])
      as wanted (sculptor_id, kind)
    join file on file.sculptor_id = wanted.sculptor_id
    join print_success own on own.file_id = file.id and own.kind = wanted.kind and own.fit = ${currentFit}
    where own.x > 0 or own.y > 0`.execute(db)
  return new Set(rows.map(groupKey))
}

/** Totals of every line of the sculptors and kinds of support, by group. */
export async function recordsOf(
  db: Db,
  groups: readonly Omit<LineOfSculptor, 'fileId'>[],
): Promise<Map<string, (LineOfSculptor & Told)[]>> {
  const wanted = [...new Map(groups.map((group) => [groupKey(group), group])).values()]
  if (wanted.length === 0) return new Map()
  const { rows } = await sql<LineOfSculptor & Total & StoredCases>`
    select ${often} own.file_id, own.kind, file.sculptor_id, own.x, own.y, own.cases
    from ${givenRows(
      'wanted',
      ['sculptor_id', 'uuid', wanted.map(({ sculptorId }) => sculptorId)],
      ['kind', 'text', wanted.map(({ kind }) => kind)],
    )}
    join file on file.sculptor_id = wanted.sculptor_id
    join print_success own on own.file_id = file.id and own.kind = wanted.kind and own.fit = ${currentFit}
    order by own.file_id`.execute(db)
  return Map.groupBy(
    rows.map(({ cases, ...line }) => toldOf(line, cases)),
    groupKey,
  )
}
