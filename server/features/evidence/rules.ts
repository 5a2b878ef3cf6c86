import type { SupportKind } from '../../../db/tables.ts'

/** What prints are gathered by: one file with one kind of support, over all its revisions. */
export interface Line {
  fileId: string
  kind: SupportKind
}

/** Lines of one sculptor and one kind of support hint at each other. */
export interface LineOfSculptor extends Line {
  sculptorId: string
}

export const lineKey = ({ fileId, kind }: Line) => `${fileId} ${kind}`
export const sculptorKey = ({ sculptorId, kind }: Omit<LineOfSculptor, 'fileId'>) => `${sculptorId} ${kind}`

/** The id and the kind of support that a key was made of. */
export function partsOf(key: string): [id: string, kind: string] {
  const space = key.indexOf(' ')
  return [key.slice(0, space), key.slice(space + 1)]
}

/** What a copy counts for its file for each revision since, and where a snag on the supports was mended in between. (Common practice, no source.) */
const revisionWeight = 0.5
const mendedRevisionWeight = 0.2

/**
 * What a print on an older revision's supports is still worth to the file: half as much for each later revision, a fifth
 * where a snag on the supports was mended since. Machine and plate learn from it in full.
 *
 * @param lag later revisions of the file that have supports of the same kind, >= 0
 * @param mended whether a later revision is said to mend a snag on the supports
 * @returns 1 for the newest supports, more than 0 for all others
 * @see Ibrahim & Chen (2000), Statistical Science 15, 46-60 (power prior)
 */
export function fileWeight(lag: number, mended: boolean): number {
  return Math.max(Number.MIN_VALUE, (mended ? mendedRevisionWeight : revisionWeight) ** lag)
}

/** Snags that tell of supports; a revision that mends one makes earlier prints worth less. */
export const supportSnags = ['unsupported part', 'too light supports'] as const

/**
 * Whether the chains of a fit do not agree: then the next one is twice as long.
 *
 * @param rhat of whatever they agree on least; null before the first fit
 * @see Vehtari et al. (2021), Bayesian Analysis 16, 667-718
 */
export const disagrees = (rhat: number | null) => rhat !== null && rhat > 1.05
