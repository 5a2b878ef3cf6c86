import type { Rank } from '../../../../web/parts/army.tsx'
import type { FigureSize, Stage } from '../../../../web/parts/shadow.tsx'
import type { File } from '../../catalogue/files/schema.ts'
import type { ShownPlan } from '../plan/schema.ts'
import type { Entry } from '../schema.ts'

/** What a file is drawn by. */
export type FileFigure = Pick<File, 'shadow' | 'heightMm' | 'base' | 'scaleMm'>

/** What an entry is drawn by. */
export type ArmyEntry = Pick<Entry, 'id' | 'words' | 'unit' | 'models' | 'standIns' | 'heightMm' | 'shadow' | 'state'>

/**
 * The army as it is drawn: each entry by the file that the plan prints it from, or was printed from, else by what is known
 * of its stand-ins and its unit.
 *
 * @param fileOf the file of an entry, as far as there is one
 */
export const ranksOf = (entries: readonly ArmyEntry[], fileOf: ReadonlyMap<string, FileFigure>): Rank[] =>
  entries.flatMap((entry) => {
    const counts = stagesOf(entry)
    return counts
      ? [{ id: entry.id, name: entry.unit?.name ?? entry.words, figure: figureOf(entry, fileOf), counts }]
      : []
  })

function figureOf({ id, unit, heightMm, shadow }: ArmyEntry, fileOf: ReadonlyMap<string, FileFigure>): FigureSize {
  const file = fileOf.get(id)
  return {
    shadow: file ? file.shadow : shadow,
    heightMm: file?.heightMm ?? heightMm,
    base: file?.base ?? unit?.base ?? null,
    scaleMm: file?.scaleMm ?? unit?.scaleMm ?? usualScaleMm,
  }
}

/** Of models that nobody knows. (Common practice, no source.) */
const usualScaleMm = 28

/** How many models have come how far, the furthest first; null for whoever is not told. */
function stagesOf({ state, standIns }: ArmyEntry): Rank['counts'] | null {
  if (!state) return null
  const { toBuy, toPrint, printed, built, painted } = state
  const left = toBuy + toPrint
  const counts: [Stage, number][] = [
    ['painted', painted],
    ['built', built - painted],
    ['printed', printed - built],
    [standIns === 0 ? 'wanted' : 'to print', left],
  ]
  return counts.filter(([, models]) => models > 0)
}

/** For whoever is not told how far it has come: all of it outlined, or dashed where nobody knows a file. */
export const outlined = (entries: readonly ArmyEntry[]): Rank[] =>
  entries.map((entry) => ({
    id: entry.id,
    name: entry.unit?.name ?? entry.words,
    figure: figureOf(entry, new Map()),
    counts: [[entry.standIns === 0 ? 'wanted' : 'to print', entry.models]],
  }))

/** Models that are to be printed once their file is bought; what nobody knows a file for is not to be bought either. */
export const toBuyOf = (entries: readonly ArmyEntry[]): number =>
  entries.reduce((sum, { standIns, state }) => sum + (standIns > 0 ? (state?.toBuy ?? 0) : 0), 0)

/** The file of each entry: what the plan prints it from, else what it was printed from. */
export function fileOfEntries<Known extends { id: string }>(
  plan: Pick<ShownPlan, 'entries'> | null,
  reports: readonly { entryId: string; fileId: string }[],
  files: readonly Known[],
) {
  const known = new Map(files.map((file) => [file.id, file]))
  return new Map(
    [...reports, ...(plan?.entries ?? [])].flatMap(({ entryId, fileId }) => {
      const file = known.get(fileId)
      return file ? [[entryId, file] as const] : []
    }),
  )
}
