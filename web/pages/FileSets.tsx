import { ChangeLink } from '../parts/blocks.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { figureWords, type MeasureNumbers, supportsWords } from '../parts/measure-words.ts'
import { counted } from '../parts/numbers.ts'
import {
  type Basis,
  CountedMark,
  type Interval,
  IntervalMark,
  IntervalRuler,
  type PrintSuccess,
  successWords,
} from '../parts/success-interval.tsx'

export interface ShownSet {
  id: string
  kind: string
  claim: string
  measure: (MeasureNumbers & { midAir: unknown[] | null }) | null
}

export interface ShownRevision {
  id: string
  label: string
  releasedOn: string | null
  sha256: string | null
  supportSets: ShownSet[]
  /** Without supports. */
  measure: MeasureNumbers | null
  mayChange: boolean
}

export interface Line extends PrintSuccess {
  kind: string
  /** Of the newest revision that has this kind; null while no supports are noted at all. */
  supportSetId: string | null
  basis: Basis
  /** All in, on a machine in good order and a plate about full. */
  comesOut: Interval
  /** The file can't be told from the one printer that nearly all reports come from. */
  cantTell: boolean
}

/** A line of the table: a support set, or what has none yet. */
export interface SetRow {
  /** Null while no revision is known. */
  revision: ShownRevision | null
  /** Null where the revision has none. */
  set: ShownSet | null
  /** What to expect; null for what a newer revision has in its place. */
  line: Line | null
  /** What came off so far; null before the first. */
  printed: { reports: number; tried: number; good: number } | null
  /** The first and the last of its revision. */
  isFirst: boolean
  isLast: boolean
}

/** The columns of the table of support sets: one ruler for all of them. */
export const setColumns = [
  { label: 'Supports', head: true, cell: (row: SetRow) => <Supports row={row} /> },
  { label: 'To expect', heading: <IntervalRuler />, wide: true, cell: markOf },
  { label: 'Came off', wide: true, cell: (row: SetRow) => <CameOff row={row} /> },
  { label: 'Measured', cell: (row: SetRow) => <Measures row={row} /> },
]

function Supports({ row: { revision, set, line, isLast } }: { row: SetRow }) {
  return (
    <>
      {set?.kind ?? line?.kind ?? 'no supports noted yet'}
      {revision && (
        <small>
          of{' '}
          <ChangeLink href={revision.mayChange && `/revisions/${revision.id}/edit`} what="the revision">
            {revision.label}
          </ChangeLink>
          {revision.releasedOn ? (
            <>
              , <DateWords on={revision.releasedOn} />
            </>
          ) : (
            ', day not known'
          )}
        </small>
      )}
      {set?.claim && <small>The sculptor says: {set.claim}</small>}
      {revision && isLast && revision.supportSets.length < everyKind && (
        <small>
          <a href={`/revisions/${revision.id}/support-sets/new`}>
            Add supports<span class="visually-hidden"> of {revision.label}</span>
          </a>
        </small>
      )}
    </>
  )
}

const everyKind = 3

function markOf({ line, printed }: SetRow) {
  const counted = printed ? printed.good / printed.tried : undefined
  if (line) return <IntervalMark interval={line.comesOut} isGuess={line.copies <= 0} counted={counted} />
  return counted === undefined ? null : <CountedMark share={counted} />
}

/** What came off the printers, counted; and what is expected by it, in words. */
function CameOff({ row: { line, printed } }: { row: SetRow }) {
  return (
    <>
      {printed && (
        <p>
          {printed.good} of {printed.tried} good{' '}
          <small>{printed.reports === 1 ? 'on one plate' : `on ${printed.reports} plates`}</small>
        </p>
      )}
      {line && (
        <p class="quiet success-words">
          {successWords({ comesOut: line.comesOut, printSuccess: line, basis: line.basis })}
          {line.cantTell && <span class="doubt"> Can’t tell the file from that printer yet.</span>}
        </p>
      )}
      {!line && !printed && 'nothing reported'}
    </>
  )
}

function Measures({ row: { revision, set, isFirst } }: { row: SetRow }) {
  if (!revision) return null
  return (
    <>
      {isFirst && <RevisionMeasure revision={revision} set={null} measure={revision.measure} />}
      {set && <RevisionMeasure revision={revision} set={set} measure={set.measure} />}
      {isFirst && revision.sha256 && (
        <p>
          <small title={revision.sha256}>SHA-256 {revision.sha256.slice(0, 12)}…</small>
        </p>
      )}
    </>
  )
}

interface RevisionMeasureProps {
  revision: { id: string; label: string }
  /** Null for the revision as it was sculpted. */
  set: { id: string; kind: string } | null
  measure: (MeasureNumbers & { midAir?: unknown[] | null }) | null
}

/** What was measured of a revision or of one of its support sets; what was not leads to where it is. */
function RevisionMeasure({ revision, set, measure }: RevisionMeasureProps) {
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
