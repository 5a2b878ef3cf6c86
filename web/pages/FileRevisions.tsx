import { Actions, ButtonLink } from '../parts/button.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import { CountedMark, IntervalMark, IntervalRuler } from '../parts/interval-mark.tsx'
import type { MeasureNumbers } from '../parts/measure-words.ts'
import { type MonthOfPrints, PrintsOverTime } from '../parts/prints-over-time.tsx'
import { Section } from '../parts/section.tsx'
import { type Basis, type Interval, type PrintSuccess, successWords } from '../parts/success-interval.tsx'
import { RevisionMeasure } from './RevisionMeasures.tsx'

interface ShownSet {
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

/** What was reported of a support set in a month. */
export interface MonthOfSet {
  supportSetId: string
  /** `YYYY-MM-DD`, its first day. */
  month: string
  reports: number
  tried: number
  good: number
}

export interface PrintsProps {
  fileId: string
  /** Oldest first. */
  revisions: ShownRevision[]
  lines: Line[]
  /** Oldest first. */
  months: MonthOfSet[]
}

/** A line of the table: a support set, or what has none yet. */
interface Row {
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

/** Whether it prints: every support set on one ruler, what came off with it, and how that went over time. */
export function FileRevisions(props: PrintsProps) {
  const { fileId, revisions, months } = props
  const add = `/files/${fileId}/revisions/new`
  const rows = rowsOf(props)
  return (
    <Section heading="Does it print?" id="revisions">
      {rows.length > 0 && (
        <div class="file-prints">
          <DataTable
            caption="Support sets, the newest revision first"
            captionHidden
            rows={rows}
            rowKey={({ revision, set, line }) => set?.id ?? revision?.id ?? line?.kind ?? ''}
            columns={columns}
          />
        </div>
      )}
      {months.length > 0 && (
        <p class="quiet">
          Dot between ticks: what to expect on a printer in good order. Diamond: what came off so far. Reports on an
          older revision with the same kind of support count less for the file.
        </p>
      )}
      <PrintsOverTime
        id="over-time"
        months={monthsOf(props)}
        releases={revisions.flatMap(({ label, releasedOn }) => (releasedOn ? [{ label, on: releasedOn }] : []))}
      />
      {revisions.length === 0 ? (
        <EmptyState words="No revision is known yet. Reports belong to one, and to its supports.">
          <ButtonLink href={add}>Add a revision</ButtonLink>
        </EmptyState>
      ) : (
        <Actions>
          <ButtonLink href={add}>Add a revision</ButtonLink>
        </Actions>
      )}
    </Section>
  )
}

/** Every support set, the newest revision first; a revision without any has a line all the same, as has a file without both. */
export function rowsOf({ revisions, lines, months }: Pick<PrintsProps, 'revisions' | 'lines' | 'months'>): Row[] {
  const known = revisions.toReversed().flatMap((revision) => {
    const sets: (ShownSet | null)[] = revision.supportSets.length > 0 ? revision.supportSets : [null]
    return sets.map((set, index) => ({
      revision,
      set,
      line: (set && lines.find(({ supportSetId }) => supportSetId === set.id)) ?? null,
      printed: set && printedOf(months.filter(({ supportSetId }) => supportSetId === set.id)),
      isFirst: index === 0,
      isLast: index === sets.length - 1,
    }))
  })
  const guesses = lines
    .filter(({ supportSetId }) => supportSetId === null)
    .map((line) => ({ revision: null, set: null, line, printed: null, isFirst: true, isLast: true }))
  return [...guesses, ...known]
}

function printedOf(months: MonthOfSet[]): Row['printed'] {
  if (months.length === 0) return null
  const sum = (field: 'reports' | 'tried' | 'good') => months.reduce((total, month) => total + month[field], 0)
  return { reports: sum('reports'), tried: sum('tried'), good: sum('good') }
}

/** The months of all sets, those of one revision together. */
function monthsOf({ revisions, months }: Pick<PrintsProps, 'revisions' | 'months'>): MonthOfPrints[] {
  const newest = revisions.at(-1)
  const found = new Map<string, MonthOfPrints>()
  for (const { supportSetId, month, tried, good } of months) {
    const revision = revisions.find(({ supportSets }) => supportSets.some(({ id }) => id === supportSetId))
    if (!revision) continue
    const key = `${month} ${revision.id}`
    const before = found.get(key)
    const sums = { tried: tried + (before?.tried ?? 0), good: good + (before?.good ?? 0) }
    found.set(key, { month, revision: revision.label, isNewest: revision === newest, ...sums })
  }
  return [...found.values()]
}

const columns = [
  { label: 'Supports', head: true, cell: (row: Row) => <Supports row={row} /> },
  { label: '50 to 100', heading: <IntervalRuler />, wide: true, cell: (row: Row) => <Mark row={row} /> },
  { label: 'Came off', wide: true, cell: (row: Row) => <CameOff row={row} /> },
  { label: 'Measured', cell: (row: Row) => <Measures row={row} /> },
]

function Supports({ row: { revision, set, line, isLast } }: { row: Row }) {
  return (
    <>
      {set?.kind ?? line?.kind ?? 'no supports noted yet'}
      {revision && (
        <small>
          of <Label revision={revision} />
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

/** The label is the link to change it, for whoever may. */
function Label({ revision: { id, label, mayChange } }: { revision: ShownRevision }) {
  if (!mayChange) return <>{label}</>
  return (
    <a href={`/revisions/${id}/edit`}>
      {label}
      <span class="visually-hidden"> (change the revision)</span>
    </a>
  )
}

function Mark({ row: { line, printed } }: { row: Row }) {
  const counted = printed ? printed.good / printed.tried : undefined
  if (line) return <IntervalMark interval={line.comesOut} isGuess={line.copies <= 0} counted={counted} />
  return counted === undefined ? null : <CountedMark share={counted} />
}

/** What came off the printers, counted; and what is expected by it, in words. */
function CameOff({ row: { line, printed } }: { row: Row }) {
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

function Measures({ row: { revision, set, isFirst } }: { row: Row }) {
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
