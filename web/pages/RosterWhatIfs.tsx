import { Disclosure, Facts } from '../parts/blocks.tsx'
import { ButtonForm } from '../parts/button-form.tsx'
import { SelectField } from '../parts/choice-field.tsx'
import type { Values } from '../parts/form.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import type { Plan } from './RosterPlan.tsx'

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

export interface WhatIf {
  kind: string
  plans: Compared[]
  worthUpTo: { price: MoneyValue; isExact: boolean } | null
}

interface Props {
  rosterId: string
  plan: Plan
  names: Record<string, string>
  values: Values
  answer: WhatIf | null
}

/** Questions about a plan, each worked out when it is asked. */
export function RosterWhatIfs({ rosterId, plan, names, values, answer }: Props) {
  const paid = plan.offers.filter(({ offerId, price, bought }) => offerId && !bought && Number(price.amount) > 0)
  const options = [
    { value: 'other plans', label: '… there are other plans, with other offers?' },
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

function Answer({ answer, names }: { answer: WhatIf; names: Props['names'] }) {
  return (
    <div class="stack" role="status">
      {answer.plans.length === 0 && <p>There is no other plan that covers as much.</p>}
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

const factsOf = (plan: Compared, names: Props['names']): Parameters<typeof Facts>[0]['facts'] => [
  ['Together', <Money key="money" value={plan.money} />],
  ['More than the plan', <Money key="extra" value={plan.extra} />],
  ['Beyond it, looks counted', <Money key="looks" value={plan.extraWithLooks} />],
  ['Entries left out besides', plan.moreUncovered > 0 && plan.moreUncovered],
  ['Without', plan.drops.join(', ')],
  ['Buying instead', plan.adds.join(', ')],
  ['Printed differently', plan.changes.map((one) => `${names[one.entryId]}: ${one.to ?? 'not at all'}`).join('; ')],
  ['Not proven', !plan.proven && 'a better one may exist'],
]
