import { Answer, type AnswerProps } from '../parts/answer.tsx'
import { type Base, BaseSize } from '../parts/base-size.tsx'
import { Button, ButtonLink } from '../parts/button.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import { Form } from '../parts/form.tsx'
import { LooksSlider } from '../parts/looks-slider.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { Facts, Section } from '../parts/section.tsx'
import { PrinterWarning } from './PrinterWarning.tsx'

export interface RequestProps {
  request: {
    id: string
    asker: { id: string; name: string }
    unit: { id: string; name: string; setting: string; scaleMm: number; base: Base | null }
    wanted: number
    mustHaves: string[]
    budget: MoneyValue | null
    neededBy: string | null
    remark: string
    state: 'open' | 'settled' | 'withdrawn'
    settledFile: { id: string; title: string } | null
    createdAt: string
    closedAt: string | null
  }
  answers: (AnswerProps & { proposalId: string; fileId: string; mine: boolean })[]
  looksWorth: MoneyValue
  /** What looks are worth to the group, before anybody moves the slider. */
  usualWorth: MoneyValue
  own: boolean
  /** The reader's usual printer, where it counts and wants a look before the next plate. */
  warned: { id: string; name: string; look: { words: string } }[]
  /** May settle, withdraw and open again: the asker and the stewards. */
  mayClose: boolean
  version: string
  once: string
}

/** A request with its ranked answers. */
export function Request(props: RequestProps) {
  const { request, answers, looksWorth, usualWorth, own } = props
  const here = `/requests/${request.id}`
  return (
    <>
      <State request={request} />
      {request.state !== 'open' && props.mayClose && <OpenAgain {...props} />}
      <RequestFacts request={request} />
      {request.state === 'open' && (
        <div class="actions">
          <ButtonLink main href={`${here}/propose`}>
            Propose a file
          </ButtonLink>
          {props.mayClose && <ButtonLink href={`${here}/edit`}>Change or withdraw</ButtonLink>}
        </div>
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
      <Section heading={answers.length > 0 ? 'Answers, by cost and looks' : 'Answers'} id="answers">
        {answers.length === 0 ? (
          <EmptyState words="Nobody has proposed a file yet.">
            <p>
              Do you know one? <a href={`${here}/propose`}>Propose it</a>. Or look at{' '}
              <a href={`/units/${request.unit.id}`}>what is known to stand in for {request.unit.name}</a>.
            </p>
          </EmptyState>
        ) : (
          <>
            <Whose own={own} here={here} looks={looksWorth.amount} />
            <p class="quiet">
              Lowest first, by what it costs and its looks. What lacks a must-have stands after all that cover
              everything, then what can't be had, last what a snag stops.
            </p>
            {props.warned.length > 0 && <PrinterWarning printers={props.warned} />}
            <div class="answers">
              {answers.map((answer) => (
                <div key={answer.proposalId} id={`answer-${answer.proposalId}`}>
                  <Answer {...answer}>
                    {request.state === 'open' && props.mayClose && <Settle page={props} answer={answer} />}
                    <AnswerActions page={props} answer={answer} />
                  </Answer>
                </div>
              ))}
            </div>
          </>
        )}
      </Section>
    </>
  )
}

function State({ request }: Pick<RequestProps, 'request'>) {
  if (request.state === 'settled' && request.settledFile)
    return (
      <p class="lead">
        Settled on <a href={`/files/${request.settledFile.id}`}>{request.settledFile.title}</a>
        {request.closedAt && (
          <>
            {' '}
            <DateWords on={request.closedAt} as="distance" />
          </>
        )}
        . <a href={`/reports/new?fileId=${request.settledFile.id}`}>Report how it printed</a>.
      </p>
    )
  if (request.state === 'withdrawn') return <p class="lead">Withdrawn by its asker; it takes no more answers.</p>
  return null
}

function OpenAgain({ request, version, once }: RequestProps) {
  return (
    <Form
      class="plain-form"
      action={`/requests/${request.id}/open`}
      id="open"
      hidden={{ version, once: `${once}-open` }}
    >
      <Button>Open the request again</Button>
    </Form>
  )
}

function RequestFacts({ request }: Pick<RequestProps, 'request'>) {
  const { unit } = request
  return (
    <Facts
      facts={[
        ['Unit', <a href={`/units/${unit.id}`}>{[unit.name, unit.setting].filter(Boolean).join(', ')}</a>],
        ['Scale', `${unit.scaleMm} mm`],
        ['Base', unit.base && <BaseSize base={unit.base} />],
        ['Must have', request.mustHaves.join(', ')],
        ['Budget', request.budget && <Money value={request.budget} />],
        ['Needed', request.neededBy && <DateWords on={request.neededBy} as="both" />],
        ['Asked by', <a href={`/members/${request.asker.id}`}>{request.asker.name}</a>],
        ['Asked', <DateWords on={request.createdAt} as="distance" />],
        ['Remark', request.remark && <span class="as-typed">{request.remark}</span>],
      ]}
    />
  )
}

/** Whose money it is: the group's in general, or the reader's own with what they have. */
function Whose({ own, here, looks }: { own: boolean; here: string; looks: string }) {
  return own ? (
    <p class="quiet">
      Counted for you: your archive and memberships cost nothing more, and your usual printer prints.{' '}
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

/** Says what settling does before it is done. */
function Settle({ page: { request, version, once }, answer }: OneAnswer) {
  return (
    <Disclosure summary={`Settle on ${answer.answer.title}`}>
      <p>
        The request is then closed: it leaves the list of open ones and takes no more proposals. Proposals and votes
        stay, and the asker or a steward can open it again.
      </p>
      <Form
        class="plain-form"
        action={`/requests/${request.id}/settle`}
        id={`settle-${answer.proposalId}`}
        hidden={{ fileId: answer.fileId, version, once: `${once}-${answer.proposalId}` }}
      >
        <Button label={`Settle on this file: ${answer.answer.title}`}>Settle on this file</Button>
      </Form>
    </Disclosure>
  )
}

function AnswerActions({ page, answer }: OneAnswer) {
  const { request, once } = page
  return (
    <div class="actions">
      <ButtonLink href={`/reports/new?fileId=${answer.fileId}`}>Report a print</ButtonLink>
      {request.state === 'open' && answer.mine && (
        <Form
          class="plain-form"
          action={`/proposals/${answer.proposalId}/take-back`}
          id={`back-${answer.proposalId}`}
          hidden={{ once: `${once}-back-${answer.proposalId}` }}
        >
          <Button label={`Take this proposal back: ${answer.answer.title}`}>Take this proposal back</Button>
        </Form>
      )}
    </div>
  )
}
