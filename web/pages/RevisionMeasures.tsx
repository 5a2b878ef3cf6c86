import { figureWords, type MeasureNumbers, supportsWords } from '../parts/measure-words.ts'
import { counted } from '../parts/numbers.ts'

interface Props {
  revision: { id: string; label: string }
  /** Null for the revision as it was sculpted. */
  set: { id: string; kind: string } | null
  measure: (MeasureNumbers & { midAir?: unknown[] | null }) | null
}

/** What was measured of a revision or of one of its support sets; what was not leads to where it is. */
export function RevisionMeasure({ revision, set, measure }: Props) {
  const href = `/revisions/${revision.id}/measure${set ? `?supports=${set.id}` : ''}`
  const about = <span class="visually-hidden"> of {revision.label}</span>
  const supports = supportsWords(set?.kind ?? null)
  if (!measure)
    return (
      <p>
        <a href={href}>
          Measure it {supports}
          {about}
        </a>
      </p>
    )
  const resin = measure.volumeMl === null ? '' : `, ${figureWords(measure.volumeMl)} ml`
  return (
    <p>
      <a href={href}>
        {figureWords(measure.heightMm)} mm{resin} <small>{supports}</small>
        {about}
      </a>
      {measure.midAir && <small>, {startsWords(measure.midAir.length)}</small>}
    </p>
  )
}

const startsWords = (starts: number) => (starts === 0 ? 'nothing in mid-air' : `${counted(starts, 'place')} in mid-air`)
