import type { ComponentProps } from 'preact'
import { Disclosure, Facts, OnThisPage, Section } from '../parts/blocks.tsx'
import { ButtonForm, Press } from '../parts/button-form.tsx'
import { SelectField } from '../parts/choice-field.tsx'
import type { Values } from '../parts/form.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { RosterArmy } from './RosterArmy.tsx'
import { isToAsk } from './RosterAsk.tsx'
import { RosterBars } from './RosterHead.tsx'
import { RosterList } from './RosterList.tsx'
import { type Plan, RosterPlan } from './RosterPlan.tsx'
import { RosterPlanForm } from './RosterPlanForm.tsx'
import { RosterSpend } from './RosterSpend.tsx'

interface Props {
  roster: { id: string; shared: boolean; version: number }
  isMine: boolean
  once: Record<string, string>
  list: Omit<ComponentProps<typeof RosterList>, 'isPlanned'>
  /** What is the owner's alone. */
  own: {
    form: ComponentProps<typeof RosterPlanForm>
    /** There is a plan that this version can't read. */
    isOfEarlierVersion: boolean
    plan: Omit<ComponentProps<typeof RosterPlan>, 'canAsk'> | null
    whatIfs: ComponentProps<typeof RosterWhatIfs> | null
    army: ComponentProps<typeof RosterArmy>
    spend: ComponentProps<typeof RosterSpend>
  } | null
}

/** A plan that is still being solved is looked at again and again; once it is there, so is what is to be ticked off. */
const pollingOf = (id: string) => ({
  'data-poll': '1500',
  'data-poll-url': `/rosters/${id}`,
  'data-poll-end': 'saving money army spend',
})

/** A roster from the army on the table to the last cent that it cost. */
export function Roster(props: Props) {
  const { roster, list, own } = props
  return (
    <>
      {own && list.entries.length > 0 && (
        <>
          <Contents plan={own.plan?.plan ?? null} />
          <RosterBars
            spend={own.spend.spend}
            totals={own.plan?.plan.totals ?? null}
            isPriced={list.entries.every(({ retail }) => retail !== null)}
          />
          <RosterArmy {...own.army} />
        </>
      )}
      <div class="ledger stack">
        <RosterList {...list} isPlanned={own?.plan?.plan.outOfDate === false} />
        {own && list.entries.length > 0 && (
          <>
            <Section heading="The plan" id="plan">
              {own.isOfEarlierVersion && <p id="planned">Planned by an earlier version: plan again.</p>}
              {!own.plan && list.entries.every(({ standIns }) => standIns === 0) && (
                <p class="quiet">It can be planned once a stand-in is known for one of the entries.</p>
              )}
              <RosterPlanForm {...own.form} />
              {own.plan && (
                <div class="stack" id="planned" {...(own.plan.plan.state === 'running' && pollingOf(roster.id))}>
                  <RosterPlan {...own.plan} canAsk={list.entries.some(isToAsk)} />
                  {own.whatIfs && <RosterWhatIfs {...own.whatIfs} />}
                </div>
              )}
            </Section>
            <RosterSpend {...own.spend} />
          </>
        )}
      </div>
      <Manage {...props} />
    </>
  )
}

/** Links to the parts of the page that are there, before everything else. */
function Contents({ plan }: { plan: ComponentProps<typeof RosterPlan>['plan'] | null }) {
  const places = [
    ['#list', 'The list'] as const,
    ['#plan', 'The plan'] as const,
    ...(plan ? [['#shopping', 'Shopping list'] as const] : []),
    ...(plan && plan.entries.length > 0 ? [['#printing', 'Printing list'] as const] : []),
    ['#spend', 'What it really cost'] as const,
  ]
  return <OnThisPage places={places} />
}

/** Who reads it, a copy, and its end. */
function Manage({ roster, isMine, once }: Props) {
  return (
    <div class="actions screen-only">
      {isMine && (
        <p class="quiet">
          {roster.shared ? 'The group may read the list.' : 'Nobody else sees it.'}{' '}
          <a href={`/rosters/${roster.id}/edit`}>Rename it, or change who may read it</a>.
        </p>
      )}
      <Press
        id="copy"
        action={`/rosters/${roster.id}/copy`}
        hidden={once}
        button={isMine ? 'Copy it' : 'Copy it, to plan it as your own'}
      />
      {isMine && (
        <Press
          id="remove"
          action={`/rosters/${roster.id}/remove`}
          hidden={{ version: String(roster.version) }}
          button="Remove this roster"
        />
      )}
    </div>
  )
}

interface Compared {
  money: MoneyValue
  extra: MoneyValue
  extraWithLooks: MoneyValue
  moreUncovered: number
  proven: boolean
  drops: string[]
  adds: string[]
  changes: { entryId: string; from: string | null; to: string | null }[]
}

interface WhatIf {
  kind: string
  plans: Compared[]
  worthUpTo: { price: MoneyValue; isExact: boolean } | null
}

interface WhatIfProps {
  rosterId: string
  plan: Plan
  names: Record<string, string>
  values: Values
  answer: WhatIf | null
}

/** Questions about a plan, each worked out when it is asked. */
function RosterWhatIfs({ rosterId, plan, names, values, answer }: WhatIfProps) {
  const paid = plan.offers.filter(({ offerId, price, bought }) => offerId && !bought && Number(price.amount) > 0)
  const options = [
    { value: 'other plans', label: '… I want other plans, with other offers?' },
    { value: 'without memberships', label: '… no membership is paid for?' },
    ...paid.map(({ offerId, title }) => ({ value: `offer ${offerId}`, label: `… I do without “${title}”?` })),
    ...plan.entries.map(({ entryId, title }) => ({
      value: `entry ${entryId}`,
      label: `… ${names[entryId]} is not printed from “${title}”?`,
    })),
  ]
  return (
    <div id="what-ifs" class="screen-only">
      <Disclosure summary="Questions about this plan" open={answer !== null}>
        <ButtonForm
          form={{ values }}
          id="what-if"
          method="get"
          action={`/rosters/${rosterId}#what-ifs`}
          label="Ask about this plan"
          button="Work it out"
        >
          <SelectField name="whatIf" label="What if …" options={options} />
        </ButtonForm>
        {answer && <Answer answer={answer} names={names} />}
      </Disclosure>
    </div>
  )
}

function Answer({ answer, names }: { answer: WhatIf; names: WhatIfProps['names'] }) {
  return (
    <div class="stack" role="status">
      {answer.plans.length === 0 && <p>No other plan covers as many entries.</p>}
      {answer.plans.map((plan, index) => (
        <Facts key={index} facts={factsOf(plan, names)} />
      ))}
      {answer.worthUpTo && (
        <p>
          The offer stays worth buying up to <Money value={answer.worthUpTo.price} />
          {!answer.worthUpTo.isExact && ', or as far as the budget goes'}.
        </p>
      )}
    </div>
  )
}

const factsOf = (plan: Compared, names: WhatIfProps['names']): Parameters<typeof Facts>[0]['facts'] => [
  ['Together', <Money key="money" value={plan.money} />],
  ['More than the plan', <Money key="extra" value={plan.extra} />],
  ['More than the plan, looks counted', <Money key="looks" value={plan.extraWithLooks} />],
  ['More entries left out', plan.moreUncovered > 0 && plan.moreUncovered],
  ['Without', plan.drops.join(', ')],
  ['Buying instead', plan.adds.join(', ')],
  ['Printed differently', plan.changes.map((one) => `${names[one.entryId]}: ${one.to ?? 'not at all'}`).join('; ')],
  ['Not proven', !plan.proven && 'a better one may exist'],
]
