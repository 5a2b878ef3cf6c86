import type { ComponentProps } from 'preact'
import { Button } from '../parts/button.tsx'
import { Form } from '../parts/form.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { Section } from '../parts/section.tsx'
import { armyWords, RosterArmy } from './RosterArmy.tsx'
import { RosterList } from './RosterList.tsx'
import { RosterPlan } from './RosterPlan.tsx'
import { RosterPlanForm } from './RosterPlanForm.tsx'
import { RosterSpend } from './RosterSpend.tsx'
import { RosterWhatIfs } from './RosterWhatIfs.tsx'

interface Props {
  roster: {
    id: string
    owner: { id: string; name: string }
    shared: boolean
    models: number
    retail: MoneyValue
    version: number
  }
  isMine: boolean
  once: Record<string, string>
  list: ComponentProps<typeof RosterList>
  /** What is the owner's alone. */
  own: {
    form: ComponentProps<typeof RosterPlanForm>
    /** There is a plan that this version can't read. */
    isOfEarlierVersion: boolean
    plan: ComponentProps<typeof RosterPlan> | null
    whatIfs: ComponentProps<typeof RosterWhatIfs> | null
    army: ComponentProps<typeof RosterArmy>
    spend: ComponentProps<typeof RosterSpend>
  } | null
}

/** A plan that is still being solved is looked at again and again; once it is there, so is what is to be ticked off. */
const pollingOf = (id: string) => ({ 'data-poll': '1500', 'data-poll-url': `/rosters/${id}`, 'data-poll-end': 'spend' })

/** A roster from the list to the last model on the table. */
export function Roster({ roster, isMine, once, list, own }: Props) {
  return (
    <>
      <p>
        {isMine ? 'Your roster' : `A roster of ${roster.owner.name}’s`}:{' '}
        {roster.models === 1 ? '1 model' : `${roster.models} models`}
        {Number(roster.retail.amount) > 0 ? (
          <>
            , boxes for <Money value={roster.retail} /> as far as their price is known.
          </>
        ) : (
          '. The price of no box is known yet.'
        )}
        {isMine && (roster.shared ? ' The group may read the list.' : ' Nobody else sees it.')}
      </p>
      {own && own.army.entries.length > 0 && <p id="state">{armyWords(own.army.entries)}.</p>}
      <div class="actions">
        {isMine && <a href={`/rosters/${roster.id}/edit`}>Rename, or change who may read it</a>}
        <Form id="copy" class="inline" action={`/rosters/${roster.id}/copy`} hidden={once}>
          <Button>{isMine ? 'Copy it' : 'Copy it, to plan it as your own'}</Button>
        </Form>
      </div>
      <RosterList {...list} />
      {own && list.entries.length > 0 && (
        <>
          <Section heading="The plan" id="plan">
            {own.isOfEarlierVersion && <p id="planned">Planned by an earlier version: plan again.</p>}
            <RosterPlanForm {...own.form} />
            {own.plan && (
              <div class="stack" id="planned" {...(own.plan.plan.state === 'running' && pollingOf(roster.id))}>
                <RosterPlan {...own.plan} />
                {own.whatIfs && <RosterWhatIfs {...own.whatIfs} />}
              </div>
            )}
          </Section>
          <RosterArmy {...own.army} />
          <RosterSpend {...own.spend} />
        </>
      )}
      {isMine && (
        <Form
          id="remove"
          class="inline screen-only"
          action={`/rosters/${roster.id}/remove`}
          hidden={{ version: String(roster.version) }}
        >
          <Button>Remove this roster</Button>
        </Form>
      )}
    </>
  )
}
