import { Actions, Button } from '../parts/button.tsx'
import { SelectField } from '../parts/choice-field.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { ErrorSummary } from '../parts/error-summary.tsx'
import { DateField } from '../parts/field.tsx'
import { Form } from '../parts/form.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { MoneyField } from '../parts/money-field.tsx'
import type { FormState } from './EditRoster.tsx'

export interface Purchase {
  id: string
  offerId: string
  title: string
  paid: MoneyValue
  /** In the group's currency; null without a rate. */
  worth: MoneyValue | null
  boughtOn: string
  roster: { id: string; name: string } | null
}

interface Props {
  rosterId: string
  purchases: Purchase[]
  countedElsewhere: Purchase[]
  currencies: [string, ...string[]]
  /** Offers of the plan that are not ticked off yet. */
  toBuy: { offerId: string; title: string }[]
  buying: FormState
  once: Record<string, string>
}

/** What was bought for the roster, and what is to be ticked off. */
export function RosterBought(props: Props) {
  const { rosterId, purchases, countedElsewhere, toBuy, buying, once, currencies } = props
  const isRefused = Object.keys(buying.errors).length > 0
  return (
    <>
      {purchases.some(({ worth }) => worth === null) && (
        <p class="hurdle">
          Some of what was paid is not counted: the group keeps no rate for its currency any more. A steward can note
          one in the settings.
        </p>
      )}
      {purchases.length > 0 && (
        <DataTable
          caption="Bought"
          rows={purchases}
          rowKey={({ id }) => id}
          columns={[
            {
              label: 'Offer',
              head: true,
              cell: ({ id, offerId, title }) => (
                <>
                  <a href={`/offers/${offerId}`}>{title}</a> <StrikeOut rosterId={rosterId} id={id} title={title} />
                </>
              ),
            },
            { label: 'On', cell: ({ boughtOn }) => <DateWords on={boughtOn} /> },
            { label: 'Paid', figures: true, cell: ({ paid }) => <Money value={paid} /> },
          ]}
        />
      )}
      {countedElsewhere.map(({ id, title, paid, roster }) => (
        <p key={id} class="quiet">
          “{title}” is used here and was bought with{' '}
          {roster ? <a href={`/rosters/${roster.id}`}>{roster.name}</a> : 'a roster that is gone'}: its{' '}
          <Money value={paid} /> count there.
        </p>
      ))}
      {toBuy.length > 0 && (
        <div class="screen-only">
          <Disclosure summary="Tick off what you bought" open={isRefused}>
            <Form id="buy" action={`/rosters/${rosterId}/purchases`} hidden={once} {...buying}>
              <ErrorSummary />
              <SelectField
                name="offerId"
                label="Offer"
                options={toBuy.map(({ offerId, title }) => ({ value: offerId, label: title }))}
              />
              <MoneyField
                optional
                name="paid"
                label="Paid"
                hint="Its price as offered if left empty."
                currencies={currencies}
              />
              <DateField optional name="boughtOn" label="On" hint="Today if left empty." />
              <Actions>
                <Button>I bought it</Button>
              </Actions>
              <p class="hint">Its files go into your archive; a membership is noted as running.</p>
            </Form>
          </Disclosure>
        </div>
      )}
    </>
  )
}

function StrikeOut({ rosterId, id, title }: { rosterId: string; id: string; title: string }) {
  return (
    <Form id={`strike-${id}`} class="inline screen-only" action={`/rosters/${rosterId}/purchases/${id}/remove`}>
      <Button label={`Strike out: ${title}`}>Strike out</Button>
    </Form>
  )
}
