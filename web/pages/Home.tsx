import { AsTable } from '../parts/as-table.tsx'
import { Button, ButtonLink } from '../parts/button.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import { TextField } from '../parts/field.tsx'
import { Form } from '../parts/form.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { Pager } from '../parts/pager.tsx'
import { Columns, Section } from '../parts/section.tsx'
import { HomeNext, type NextStep } from './HomeNext.tsx'
import { type WetPlate, WetPlates } from './WetPlates.tsx'

interface RequestRow {
  id: string
  asker: { name: string }
  unit: { name: string; setting: string }
  wanted: number
  mustHaves: string[]
  budget: MoneyValue | null
  neededBy: string | null
  proposals: number
  createdAt: string
  settledFile: { id: string; title: string } | null
}

interface Props {
  requests: RequestRow[]
  next: string | null
  state: 'open' | 'settled' | 'withdrawn'
  isFirstPage: boolean
  printedWell: {
    id: string
    fileId: string
    title: string
    member: string
    tried: number
    good: number
    printedOn: string
    kind: string
  }[]
  needsReport: { id: string; title: string }[]
  /** The reader's failed plates that are still to be told in full. */
  wet: WetPlate[]
  steps: NextStep[]
}

/** Where the group meets: what is asked for, what just printed well, what needs a report. */
export function Home(props: Props) {
  return (
    <>
      <SearchForm q="" />
      <Columns main={<Requests {...props} />} aside={<Lately {...props} />} />
    </>
  )
}

/** One box for units, files and sculptors. */
export function SearchForm({ q }: { q: string }) {
  return (
    <Form action="/search" method="get" class="search" label="Look something up" values={{ q }}>
      <TextField optional type="search" name="q" label="A unit, a file or a sculptor, or nearly so" />
      <Button>Look up</Button>
    </Form>
  )
}

const headings = { open: 'Open requests', settled: 'Settled requests', withdrawn: 'Withdrawn requests' }

function Requests({ requests, next, state, isFirstPage }: Props) {
  return (
    <Section heading={headings[state]}>
      <div class="actions">
        <ButtonLink main href="/requests/new">
          Ask for a stand-in
        </ButtonLink>
        {state !== 'open' && <a href="/">Open ones</a>}
        {state !== 'settled' && <a href="/?state=settled">Settled ones</a>}
        {state !== 'withdrawn' && <a href="/?state=withdrawn">Withdrawn ones</a>}
      </div>
      {requests.length === 0 ? (
        <EmptyState words={isFirstPage && state === 'open' ? 'Nothing is asked for just now.' : 'There are none.'}>
          <p>
            Is there an entry of your roster that you need a file for? <a href="/requests/new">Ask the group</a>, or{' '}
            <a href="/units">look up what is known</a>.
          </p>
        </EmptyState>
      ) : (
        <DataTable caption={headings[state]} captionHidden rows={requests} rowKey={(row) => row.id} columns={columns} />
      )}
      <Pager href={next && `/?state=${state}&after=${encodeURIComponent(next)}`} />
      <AsTable list="requests" words="All requests as a table (CSV)" />
    </Section>
  )
}

const columns = [
  {
    label: 'Unit',
    head: true,
    cell: (row: RequestRow) => (
      <>
        <a href={`/requests/${row.id}`}>
          {row.wanted} × {row.unit.name}
        </a>
        {row.mustHaves.length > 0 && <small> with {row.mustHaves.join(', ')}</small>}
      </>
    ),
  },
  {
    label: 'Asked',
    cell: (row: RequestRow) => (
      <>
        <DateWords on={row.createdAt} as="distance" /> by {row.asker.name}
      </>
    ),
  },
  { label: 'Needed', cell: (row: RequestRow) => row.neededBy && <DateWords on={row.neededBy} as="distance" /> },
  { label: 'Budget', figures: true, cell: (row: RequestRow) => row.budget && <Money value={row.budget} /> },
  {
    label: 'Answers',
    figures: true,
    cell: (row: RequestRow) => (row.proposals === 0 ? <strong>none yet</strong> : row.proposals),
  },
]

function Lately({ printedWell, needsReport, wet, steps }: Props) {
  return (
    <>
      <HomeNext steps={steps} />
      {wet.length > 0 && (
        <Section heading="Still to be told">
          <WetPlates plates={wet} />
        </Section>
      )}
      {needsReport.length > 0 && (
        <Section heading="Did these print?">
          <ul class="plain-list">
            {needsReport.map(({ id, title }) => (
              <li key={id}>
                <a href={`/reports/new?fileId=${id}`}>{title}</a>
              </li>
            ))}
          </ul>
          <p class="quiet">
            You have these files or settled on them. A report takes three taps and spares the next member.
          </p>
        </Section>
      )}
      <Section heading="Just printed well">
        {printedWell.length === 0 ? (
          <EmptyState words="No print has been reported yet.">
            <a href="/reports/new">Report yours</a>
          </EmptyState>
        ) : (
          <ul class="plain-list">
            {printedWell.map(({ id, fileId, title, member, tried, good, printedOn, kind }) => (
              <li key={id}>
                <a href={`/files/${fileId}`}>{title}</a>, {kind}:{' '}
                <a href={`/reports/${id}`}>
                  {good} of {tried} good
                </a>{' '}
                <span class="quiet">
                  {member}, <DateWords on={printedOn} as="distance" />
                </span>
              </li>
            ))}
          </ul>
        )}
      </Section>
    </>
  )
}
