import { Actions, ButtonLink } from '../parts/button.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import type { MeasureNumbers } from '../parts/measure-words.ts'
import { Section } from '../parts/section.tsx'
import { type Basis, type Interval, type PrintSuccess, SuccessInterval } from '../parts/success-interval.tsx'
import { RevisionMeasures } from './RevisionMeasures.tsx'

export interface ShownRevision {
  id: string
  label: string
  releasedOn: string | null
  sha256: string | null
  supportSets: {
    id: string
    kind: string
    claim: string
    /** Left out where nothing was reported. */
    printed?: { reports: number; tried: number; good: number } | undefined
    measure: (MeasureNumbers & { midAir: unknown[] | null }) | null
  }[]
  /** Without supports. */
  measure: MeasureNumbers | null
  mayChange: boolean
}

export interface Line extends PrintSuccess {
  kind: string
  basis: Basis
  /** All in, on a machine in good order and a plate about full. */
  comesOut: Interval
  /** The file can't be told from the one printer that nearly all reports come from. */
  cantTell: boolean
}

interface Props {
  fileId: string
  /** Oldest first. */
  revisions: ShownRevision[]
  lines: Line[]
}

/** Whether it prints, by kind of support, and the revisions that the reports belong to. */
export function FileRevisions({ fileId, revisions, lines }: Props) {
  const add = `/files/${fileId}/revisions/new`
  return (
    <Section heading="Does it print?" id="revisions">
      <div class="answer-evidence">
        {lines.map((line) => (
          <div key={line.kind}>
            <h3>{line.kind}</h3>
            <SuccessInterval
              comesOut={line.comesOut}
              printSuccess={line}
              basis={line.basis}
              {...(line.cantTell && { doubt: 'Can’t tell the file from that printer yet.' })}
            />
          </div>
        ))}
      </div>
      {revisions.length === 0 ? (
        <EmptyState words="No revision is known yet. Reports belong to one, and to its supports.">
          <ButtonLink href={add}>Add a revision</ButtonLink>
        </EmptyState>
      ) : (
        <>
          <p class="hint">
            The newest revision counts. Reports on an older one with the same kind of support count less for the file.
          </p>
          <DataTable
            caption="Revisions, the newest first"
            rows={revisions.toReversed()}
            rowKey={(revision) => revision.id}
            columns={revisions.some((revision) => revision.sha256) ? [...columns, fingerprint] : columns}
          />
          <Actions>
            <ButtonLink href={add}>Add a revision</ButtonLink>
          </Actions>
        </>
      )}
    </Section>
  )
}

const columns = [
  { label: 'Revision', head: true, cell: (revision: ShownRevision) => <Label revision={revision} /> },
  {
    label: 'Released',
    cell: (revision: ShownRevision) => (revision.releasedOn ? <DateWords on={revision.releasedOn} /> : 'day not known'),
  },
  { label: 'Supports', cell: (revision: ShownRevision) => <Supports revision={revision} /> },
  { label: 'Measured', cell: (revision: ShownRevision) => <RevisionMeasures revision={revision} /> },
  { label: 'Reported copies', cell: (revision: ShownRevision) => <Printed revision={revision} /> },
]

function Label({ revision: { id, label, mayChange } }: { revision: ShownRevision }) {
  return (
    <>
      {label}
      {mayChange && (
        <>
          {' '}
          <a class="quiet" href={`/revisions/${id}/edit`}>
            Change<span class="visually-hidden"> the revision {label}</span>
          </a>
        </>
      )}
    </>
  )
}

const fingerprint = {
  label: 'SHA-256',
  cell: (revision: ShownRevision) =>
    revision.sha256 === null ? (
      'not noted'
    ) : (
      <code title={revision.sha256}>
        {revision.sha256.slice(0, 12)}
        {'…'}
      </code>
    ),
}

/** What came off the printers with each kind of support: counted, not estimated. */
function Printed({ revision: { supportSets } }: { revision: ShownRevision }) {
  const printed = supportSets.filter((set) => set.printed !== undefined)
  if (printed.length === 0) return <>none</>
  return (
    <>
      {printed.map(({ id, kind, printed: { reports, tried, good } = { reports: 0, tried: 0, good: 0 } }) => (
        <p key={id}>
          {good} of {tried} good <small>{`${kind}, ${reports} ${reports === 1 ? 'plate' : 'plates'}`}</small>
        </p>
      ))}
    </>
  )
}

const everyKind = 3

function Supports({ revision }: { revision: ShownRevision }) {
  const { supportSets } = revision
  return (
    <>
      {supportSets.map(({ id, kind, claim }) => (
        <p key={id}>
          {kind}
          {claim && <small> the sculptor says: {claim}</small>}
        </p>
      ))}
      {supportSets.length < everyKind && (
        <a href={`/revisions/${revision.id}/support-sets/new`}>
          Add supports<span class="visually-hidden"> of {revision.label}</span>
        </a>
      )}
    </>
  )
}
