import { figureWords, type MeasureNumbers, supportsWords } from '../parts/measure-words.ts'

interface Props {
  revision: {
    id: string
    label: string
    measure: MeasureNumbers | null
    supportSets: { id: string; kind: string; measure: (MeasureNumbers & { midAir: unknown[] | null }) | null }[]
  }
}

/** What was measured of a revision and of each of its support sets; what was not leads to where it is. */
export function RevisionMeasures({ revision: { id, label, measure, supportSets } }: Props) {
  const href = `/revisions/${id}/measure`
  return (
    <>
      <p>
        <Measured href={href} kind={null} label={label} measure={measure} />
      </p>
      {supportSets.map((set) => (
        <p key={set.id}>
          <Measured href={`${href}?supports=${set.id}`} kind={set.kind} label={label} measure={set.measure} />
          {set.measure?.midAir && <small>, {startsWords(set.measure.midAir.length)}</small>}
        </p>
      ))}
    </>
  )
}

interface MeasuredProps {
  href: string
  kind: string | null
  label: string
  measure: MeasureNumbers | null
}

function Measured({ href, kind, label, measure }: MeasuredProps) {
  const about = <span class="visually-hidden"> of {label}</span>
  if (!measure)
    return (
      <a href={href}>
        Measure it {supportsWords(kind)}
        {about}
      </a>
    )
  const resin = measure.volumeMl === null ? '' : `, ${figureWords(measure.volumeMl)} ml`
  return (
    <a href={href}>
      {figureWords(measure.heightMm)} mm{resin} <small>{supportsWords(kind)}</small>
      {about}
    </a>
  )
}

const startsWords = (starts: number) =>
  starts === 0 ? 'nothing in mid-air' : `${starts} ${starts === 1 ? 'place' : 'places'} in mid-air`
