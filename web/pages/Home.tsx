import { AsTable, ButtonLink, Columns, EmptyState, Pager, Section } from '../parts/blocks.tsx'
import { LookUp } from '../parts/button-form.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { Money } from '../parts/money.tsx'
import { counted } from '../parts/numbers.ts'
import type { FigureShadow } from '../parts/outline.ts'
import { Picture, type ShownPicture } from '../parts/picture.tsx'
import { remembered } from '../parts/remembered.tsx'
import { type DrawnUnit, UnitShadow } from '../parts/shadow.tsx'
import { type PlannedStep, plannedStepWords, stepHref } from '../parts/step-words.ts'
import { type WetPlate, WetPlates } from './AtThePrinter.tsx'
import type { AskedFor } from './RequestHead.tsx'

interface RequestRow
  extends Pick<AskedFor, 'id' | 'wanted' | 'mustHaves' | 'budget' | 'neededBy' | 'createdAt' | 'settledFile'> {
  asker: { name: string }
  unit: DrawnUnit & { name: string; setting: string; shadow: FigureShadow | null }
  proposals: number
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
    face: ShownPicture | null
  }[]
  needsReport: { id: string; title: string }[]
  /** The reader's failed plates that are still to be reported in full. */
  wet: WetPlate[]
  steps: NextStep[]
}

/** Where the group meets: what is next for the reader, what is asked for, what just printed well. */
export function Home(props: Props) {
  return (
    <>
      {props.wet.length > 0 && <WetPlates plates={props.wet} />}
      <HomeNext steps={props.steps} />
      <LookUp {...lookAnythingUp} q="" />
      <Columns main={<Requests {...props} />} aside={<Lately {...props} />} />
    </>
  )
}

/** The main button of the page. */
export function AskForOne() {
  return (
    <ButtonLink main href="/requests/new">
      Ask for a stand-in
    </ButtonLink>
  )
}

/** One box for units, files and sculptors. */
export const lookAnythingUp = {
  action: '/search',
  label: 'Look something up',
  words: 'A unit, a file or a sculptor; near enough will do',
}

const headings = { open: 'Open requests', settled: 'Settled requests', withdrawn: 'Withdrawn requests' }

function Requests({ requests, next, state, isFirstPage }: Props) {
  return (
    <Section heading={headings[state]}>
      {requests.length === 0 ? (
        <EmptyState words={isFirstPage && state === 'open' ? 'Nothing is asked for just now.' : 'There are none.'}>
          <p>
            Do you need a file for an entry of your roster? <a href="/requests/new">Ask the group</a>, or{' '}
            <a href="/units">look up what is known</a>.
          </p>
        </EmptyState>
      ) : (
        <ul class="request-list">
          {requests.map((row) => (
            <Asked key={row.id} row={row} />
          ))}
        </ul>
      )}
      <Pager href={next && `/?state=${state}&after=${encodeURIComponent(next)}`} />
      <div class="actions">
        {state !== 'open' && <a href="/">Open ones</a>}
        {state !== 'settled' && <a href="/?state=settled">Settled ones</a>}
        {state !== 'withdrawn' && <a href="/?state=withdrawn">Withdrawn ones</a>}
      </div>
      <AsTable list="requests" words="All requests as a table (CSV)" />
    </Section>
  )
}

/** What is wanted, beside the shadow of what would stand in for it. */
const Asked = remembered(
  ({ row }: { row: RequestRow }) => (
    <li>
      <UnitShadow unit={row.unit} />
      <div>
        <a class="request-name" href={`/requests/${row.id}`}>
          {row.wanted} {row.unit.name}
        </a>
        <small>
          {row.mustHaves.length > 0 && `with ${row.mustHaves.join(', ')}; `}asked by {row.asker.name}{' '}
          <DateWords on={row.createdAt} as="distance" />
          {row.neededBy && row.settledFile === null && (
            <>
              , needed <DateWords on={row.neededBy} as="distance" />
            </>
          )}
          {row.budget && (
            <>
              , no more than <Money value={row.budget} />
            </>
          )}
        </small>
      </div>
      <span class="request-answers">
        {row.settledFile ? (
          <>
            settled on <a href={`/files/${row.settledFile.id}`}>{row.settledFile.title}</a>
          </>
        ) : row.proposals === 0 ? (
          <strong>no answer yet</strong>
        ) : (
          counted(row.proposals, 'answer')
        )}
      </span>
    </li>
  ),
  500,
)

function Lately({ printedWell, needsReport }: Props) {
  return (
    <>
      <Section heading="Just printed well">
        {printedWell.length === 0 ? (
          <EmptyState words="No print has been reported yet.">
            <a href="/reports/new">Report yours</a>
          </EmptyState>
        ) : (
          <ul class="printed-well">
            {printedWell.map((print) => (
              <PrintedWell key={print.id} print={print} />
            ))}
          </ul>
        )}
      </Section>
      {needsReport.length > 0 && (
        <Section heading="Did these print?">
          <nav class="choices choices-big" aria-label="Files to report a print of">
            {needsReport.map(({ id, title }) => (
              <a key={id} class="choice" href={`/reports/new?fileId=${id}`}>
                <span class="choice-words">{title}</span>
              </a>
            ))}
          </nav>
          <p class="quiet">
            They are on your shelf. A report takes a few taps and may spare the next member a failed plate.
          </p>
        </Section>
      )}
    </>
  )
}

const PrintedWell = remembered(({ print }: { print: Props['printedWell'][number] }) => {
  const { id, fileId, title, member, tried, good, printedOn, kind, face } = print
  return (
    <li>
      {face && <Picture picture={face} sizes="8rem" />}
      <div>
        <a href={`/files/${fileId}`}>{title}</a>, {kind}
        <small>
          <a href={`/reports/${id}`}>
            {good} of {tried} good
          </a>
          , {member}, <DateWords on={printedOn} as="distance" />
        </small>
      </div>
    </li>
  )
}, 100)

export interface NextStep extends PlannedStep {
  rosterId: string
  roster: string
}

/** The next thing to do for each of the reader's rosters. */
export function HomeNext({ steps }: { steps: NextStep[] }) {
  if (steps.length === 0) return null
  return (
    <ul class="next-steps" id="next" aria-label="Next for your rosters">
      {steps.map((step) => (
        <li key={step.rosterId}>
          <strong>Next:</strong> <a href={stepHref(step.rosterId, step)}>{plannedStepWords(step)}</a>{' '}
          <span class="quiet">for {step.roster}</span>
        </li>
      ))}
    </ul>
  )
}
