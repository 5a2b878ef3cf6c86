import { resized } from '../../../../web/mesh/resized.ts'
import type { Known } from '../../../../web/pages/MeasureFound.tsx'
import type { WholeFile } from '../files/schema.ts'
import type { Measured } from './queries.ts'
import type { Measure, NewMeasure } from './schema.ts'

type Facts = Pick<WholeFile, 'scaleMm' | 'units' | 'revisions' | 'snags' | 'measures'>

/** What a measure tells beside its own numbers, of the file that it is of. */
export const toldOf = (file: Facts, what: Measured, measure: NewMeasure) => ({
  known: knownBy(file, what, measure.sha256s),
  resizes: resizesOf(file, measure),
})

/** Scale that a file's figures are made for: as it says itself, or as its unit has it. */
export const scaleOf = ({ scaleMm, units }: Facts) => scaleMm ?? units[0]?.scaleMm ?? null

/** The same of a measure that is kept, by what else is noted; null where that tells nothing. */
export function knownBeside(file: Facts, what: Measured, kept: Measure): Known | null {
  const known = knownBy({ ...file, measures: file.measures.filter((one) => one !== kept) }, what, kept.sha256s)
  return known?.is === 'unknown' ? null : known
}

/** Which revision has these parts, by the SHA-256 that somebody noted or that was measured of it before. */
function knownBy({ revisions, snags, measures }: Facts, { revisionId }: Measured, sha256s: string[]): Known | null {
  if (sha256s.length === 0) return null
  const notedOf = (id: string) => [
    ...revisions.flatMap((one) => (one.id === id && one.sha256 ? [one.sha256] : [])),
    ...measures.flatMap((one) => (one.revisionId === id ? one.sha256s : [])),
  ]
  const has = (id: string) => notedOf(id).some((noted) => sha256s.includes(noted))
  const found = has(revisionId) ? revisionId : revisions.findLast(({ id }) => has(id))?.id
  if (found === undefined) return notedOf(revisionId).length > 0 ? { is: 'unknown' } : null
  const at = revisions.findIndex(({ id }) => id === found)
  const later = revisions.slice(at + 1).map(({ id }) => id)
  const { label = '', releasedOn = null } = revisions[at] ?? {}
  return {
    is: found === revisionId ? 'this' : 'another',
    revisionId: found,
    label,
    releasedOn,
    newest: later.length > 0 ? (revisions.at(-1)?.label ?? null) : null,
    mended: snags.filter((snag) => later.includes(snag.mendedInRevisionId ?? '')).length,
  }
}

/** What it takes at the scale of each unit that it stands in for, where that is another than its own. */
function resizesOf({ scaleMm, units }: Facts, { volumeMl, heightMm }: NewMeasure) {
  if (scaleMm === null) return []
  return [...new Set(units.map((unit) => unit.scaleMm))]
    .filter((toMm) => toMm !== scaleMm)
    .map((toMm) => ({
      fromMm: scaleMm,
      toMm,
      volumeMl: volumeMl === null ? null : resized(volumeMl, scaleMm, toMm),
      heightMm: heightMm * (toMm / scaleMm),
    }))
}
