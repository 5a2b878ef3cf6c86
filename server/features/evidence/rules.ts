import type { SupportKind } from '../../../db/tables.ts'

/** What reports are gathered by: one file with one kind of support, over all its revisions. */
export interface Line {
  fileId: string
  kind: SupportKind
}

/** Lines of one sculptor and one kind of support hint at each other. */
export interface LineOfSculptor extends Line {
  sculptorId: string
}

export const lineKey = ({ fileId, kind }: Line) => `${fileId} ${kind}`
/** The line that a key stands for. */
export function lineOf(key: string): Line {
  const space = key.indexOf(' ')
  return { fileId: key.slice(0, space), kind: key.slice(space + 1) as SupportKind }
}

export const groupKey = ({ sculptorId, kind }: Omit<LineOfSculptor, 'fileId'>) => `${sculptorId} ${kind}`

/**
 * What a report on an older revision's supports is still worth to the file: half as much for each later revision, a
 * fifth where a snag on the supports was mended since. Printer and plate learn from it in full.
 *
 * @param lag later revisions of the file that have supports of the same kind, >= 0
 * @param mended whether a later revision is said to mend a snag on the supports
 * @returns 1 for the newest supports, more than 0 for all others
 * @see Ibrahim & Chen (2000), Statistical Science 15, 46-60 (power prior); 0.5 and 0.2 are common practice, no source
 */
export function fileWeight(lag: number, mended: boolean): number {
  return (mended ? 0.2 : 0.5) ** lag
}

/** Snags that tell of supports; a revision that mends one makes earlier reports worth less. */
export const supportSnags = ['unsupported part', 'too light supports'] as const

/** So many reports that came, changed or went make a new fit worth its while, however many there are. */
const enough = 25

/**
 * Whether everything should be worked out anew: after 25 reports that came, changed or went, or a tenth of all where that
 * is less, so that a young group's figures settle as they come in.
 *
 * @param reports that the last fit knew; 0 before the first
 * @param since reports that came, changed or went since
 */
export function isFitDue({ reports, since }: { reports: number; since: number }): boolean {
  return since >= Math.min(enough, Math.max(1, Math.ceil(reports / 10)))
}
