import type { Rank } from '../../../../web/parts/army.tsx'
import type { FigureSize, Stage } from '../../../../web/parts/shadow.tsx'
import type { File } from '../../catalogue/files/schema.ts'
import type { ShownPlan } from '../plan/schema.ts'
import type { Entry } from '../schema.ts'

/**
 * The army as it is drawn: each entry by the file that the plan prints it from, or was printed from, else by what is known
 * of its stand-ins and its unit.
 *
 * @param fileOf the file of an entry, as far as there is one
 */
export const ranksOf = (entries: readonly Entry[], fileOf: ReadonlyMap<string, File>): Rank[] =>
  entries.flatMap((entry) => {
    const counts = stagesOf(entry)
    return counts
      ? [{ id: entry.id, name: entry.unit?.name ?? entry.words, figure: figureOf(entry, fileOf), counts }]
      : []
  })

function figureOf({ id, unit, heightMm, shadow }: Entry, fileOf: ReadonlyMap<string, File>): FigureSize {
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
function stagesOf({ state, standIns }: Entry): Rank['counts'] | null {
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

/** The file of each entry: what the plan prints it from, else what it was printed from. */
export function fileOfEntries(
  plan: ShownPlan | null,
  reports: readonly { entryId: string; fileId: string }[],
  files: readonly File[],
) {
  const known = new Map(files.map((file) => [file.id, file]))
  return new Map(
    [...reports, ...(plan?.entries ?? [])].flatMap(({ entryId, fileId }) => {
      const file = known.get(fileId)
      return file ? [[entryId, file] as const] : []
    }),
  )
}
