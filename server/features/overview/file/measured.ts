import type { AsMeasured } from '../../../../web/pages/FileLabel.tsx'
import { resinOf } from '../../catalogue/measures/queries.ts'
import type { Measure } from '../../catalogue/measures/schema.ts'
import type { Revision } from '../../catalogue/revisions/schema.ts'

interface MeasuredFile {
  resinMl: number | null
  /** Oldest first. */
  revisions: Revision[]
  measures: Measure[]
}

/** The measure that the file is drawn by (as `shadowOf` has it), or else the newest; null while there is none. */
export function asMeasured({ revisions, measures }: MeasuredFile): AsMeasured | null {
  const newestFirst = revisions.toReversed().flatMap((revision) => {
    const own = measures.filter(({ revisionId }) => revisionId === revision.id)
    return own
      .toSorted((one, other) => Number(one.supportSetId !== null) - Number(other.supportSetId !== null))
      .map((measure) => ({ measure, revision }))
  })
  const found = newestFirst.find(({ measure }) => measure.front !== null) ?? newestFirst[0]
  if (!found) return null
  const { measure, revision } = found
  const supports = revision.supportSets.find(({ id }) => id === measure.supportSetId)?.kind ?? null
  return { ...measure, revision, supports, by: measure.measuredBy.name, at: measure.measuredAt }
}

/** Whether the file's resin is what was measured of it without supports. */
export const isResinBare = ({ resinMl, measures }: MeasuredFile) =>
  resinMl !== null && measures.some((one) => one.supportSetId === null && resinOf(one) === resinMl)

/** The measure of a revision without supports, or with some; null while there is none. */
export const measureIn = ({ measures }: MeasuredFile, revisionId: string, supportSetId: string | null) =>
  measures.find((one) => one.revisionId === revisionId && one.supportSetId === supportSetId) ?? null
