import { Answer } from '../parts/answer.tsx'
import { type AnswerProps, isWhole } from '../parts/answer-words.ts'
import { ButtonLink, EmptyState, Notice } from '../parts/blocks.tsx'
import { FoldedPress, Press } from '../parts/button-form.tsx'
import { CostLegend } from '../parts/cost-bar.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { LooksSlider } from '../parts/looks-slider.tsx'
import type { MoneyValue } from '../parts/money.tsx'
import { scaleFor } from '../parts/shadow.tsx'
import { IntervalRuler } from '../parts/success-interval.tsx'
import { PrinterWarning } from './AtThePrinter.tsx'
import type { AskedFor } from './RequestHead.tsx'

export interface RequestProps {
  request: AskedFor
  answers: (AnswerProps & { proposalId: string; fileId: string; mine: boolean })[]
  looksWorth: MoneyValue
  /** What looks are worth to the group, before anybody moves the slider. */
  usualWorth: MoneyValue
  own: boolean
  /** The reader's usual printer, where it counts and wants a look before the next plate. */
  warned: { id: string; name: string; look: { words: string } }[]
  /** May settle, withdraw and open again: the asker and the stewards. */
  mayClose: boolean
  /** Something is known to stand in for the unit. */
  hasStandIns: boolean
  /** The answer that stands open, by its proposal; the first if left out. */
  open?: string | undefined
  /** What has just happened to that answer. */
  notice?: string | undefined
  version: string
  once: string
}

/** A request: its answers as a close-set race, one of them unfolded. */
export function RequestPage(props: RequestProps) {
  const { request, answers, looksWorth, usualWorth, own } = props
  const here = `/requests/${request.id}`
  return (
    <>
      <State {...props} />
      {answers.length === 0 ? (
        <EmptyState words="Nobody has proposed a file yet.">
          <p>
            Do you know one? <a href={`${here}/propose`}>Propose it</a>.
            {props.hasStandIns && (
              <>
                {' '}
                Or look at <a href={`/units/${request.unit.id}`}>what is known to stand in for {request.unit.name}</a>.
              </>
            )}
          </p>
        </EmptyState>
      ) : (
        <section id="answers" class="race" aria-labelledby="answers-heading">
          <h2 id="answers-heading" class="visually-hidden">
            Answers
          </h2>
          {props.warned.length > 0 && <PrinterWarning printers={props.warned} />}
          <Race {...props} />
          <Whose own={own} here={here} looks={looksWorth.amount} />
        </section>
      )}
      {answers.length > 1 && (
        <LooksSlider
          action={here}
          value={looksWorth}
          usual={usualWorth}
          region="answers"
          hidden={own ? { own: 'true' } : {}}
        />
      )}
    </>
  )
}

/** The answers, cheapest to the table first; those that leave something open after the others. */
function Race(props: RequestProps) {
  const { request, answers } = props
  const { unit, wanted } = request
  const whole = answers.filter(({ answer }) => isWhole(answer))
  const most = { heightPx: 64, widthPx: 84 }
  const pxPerMm = scaleFor(
    answers.map(({ answer }) => answer.figure),
    most,
    unit.base,
  )
  const rest = answers.filter(({ answer }) => !isWhole(answer))
  const open = props.open ?? [...whole, ...rest][0]?.proposalId
  const shown = (answer: RequestProps['answers'][number]) => (
    <div key={answer.proposalId} id={`answer-${answer.proposalId}`}>
      {props.notice && answer.proposalId === props.open && <Notice>{props.notice}</Notice>}
      <Answer {...answer} unitBase={unit.base} pxPerMm={pxPerMm} isOpen={answer.proposalId === open}>
        <AnswerActions page={props} answer={answer} />
      </Answer>
    </div>
  )
  return (
    <>
      <div class="race-head" aria-hidden="true">
        <span class="answer-shadow">at true size</span>
        <span class="answer-name">{answers.length === 1 ? 'one answer' : `${answers.length} answers, best first`}</span>
        <span class="answer-bar">{`what ${wanted === 1 ? 'a good one costs' : `${wanted} good ones cost`}, to one scale`}</span>
        <span class="answer-print">
          <IntervalRuler />
        </span>
        <span class="answer-votes">would field it</span>
        <span class="answer-score">to the table</span>
      </div>
      {whole.map(shown)}
      {rest.length > 0 && <p class="race-rest">{restWords(rest.length, whole.length)}:</p>}
      {rest.map(shown)}
      <CostLegend breakdowns={answers.map(({ answer }) => answer.breakdown)}>
        {unit.base && ' Dashed ring: the unit’s base; filled: the file’s.'} The short rule is one centimetre.
      </CostLegend>
    </>
  )
}

/** Over the answers that leave something open. @param whole how many don't */
function restWords(rest: number, whole: number): string {
  if (whole > 0) return rest === 1 ? 'This one lacks a must-have' : 'These lack a must-have'
  return rest === 1 ? 'It lacks a must-have' : 'All of them lack a must-have'
}

/** What has become of it, and what its asker can do. */
function State(props: RequestProps) {
  const { request } = props
  if (request.state === 'open') return null
  return (
    <>
      {request.state === 'settled' && request.settledFile ? (
        <p class="outcome">
          Settled on <a href={`/files/${request.settledFile.id}`}>{request.settledFile.title}</a>
          {request.closedAt && (
            <>
              {' '}
              <DateWords on={request.closedAt} as="distance" />
            </>
          )}
          . <a href={`/reports/new?fileId=${request.settledFile.id}`}>Report how it printed</a>.
        </p>
      ) : (
        <p class="outcome">Withdrawn; it takes no more answers.</p>
      )}
      {props.mayClose && (
        <Press
          action={`/requests/${request.id}/open`}
          id="open"
          hidden={{ version: props.version, once: `${props.once}-open` }}
          button="Open the request again"
        />
      )}
    </>
  )
}

/** Whose money it is: the group's in general, or the reader's own with what they have. */
function Whose({ own, here, looks }: { own: boolean; here: string; looks: string }) {
  return own ? (
    <p class="quiet">
      Counted for you: your archive and memberships cost nothing more, and your usual printer prints it.{' '}
      <a href={`${here}?looks=${looks}`}>Count for anybody in the group</a>
    </p>
  ) : (
    <p class="quiet">
      Counted for anybody: the cheapest offer, a printer in good order, plates about full.{' '}
      <a href={`${here}?looks=${looks}&own=true`}>Count what I already have, on my printer</a>
    </p>
  )
}

interface OneAnswer {
  page: RequestProps
  answer: RequestProps['answers'][number]
}

function AnswerActions({ page, answer }: OneAnswer) {
  const { request, once } = page
  const isOpen = request.state === 'open'
  return (
    <>
      <div class="actions">
        <ButtonLink href={`/reports/new?fileId=${answer.fileId}`}>Report a print</ButtonLink>
        {isOpen && answer.mine && (
          <Press
            action={`/proposals/${answer.proposalId}/take-back`}
            id={`back-${answer.proposalId}`}
            hidden={{ once: `${once}-back-${answer.proposalId}` }}
            button="Take this proposal back"
            label={`Take this proposal back: ${answer.answer.title}`}
          />
        )}
      </div>
      {isOpen && page.mayClose && <Settle page={page} answer={answer} />}
    </>
  )
}

/** Says what settling does before it is done. */
function Settle({ page: { request, version, once }, answer }: OneAnswer) {
  return (
    <FoldedPress
      class="inline"
      summary={`Settle on ${answer.answer.title}`}
      action={`/requests/${request.id}/settle`}
      id={`settle-${answer.proposalId}`}
      hidden={{ fileId: answer.fileId, version, once: `${once}-${answer.proposalId}` }}
      button="Settle on this file"
      label={`Settle on this file: ${answer.answer.title}`}
    >
      That closes the request: it leaves the list of open ones and takes no more proposals. Proposals and votes stay,
      and the asker or a steward can open it again.
    </FoldedPress>
  )
}
