import { FoldedForm, type FormState, Press } from '../parts/button-form.tsx'
import { SelectField } from '../parts/choice-field.tsx'
import { DataTable, moneyColumn } from '../parts/data-table.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { DateField, MoneyField, TextField } from '../parts/field.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'

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

interface BoughtProps {
  rosterId: string
  purchases: Purchase[]
  countedElsewhere: Purchase[]
  /** What they come to in the group's currency. */
  total: MoneyValue
}

/** What was bought for the roster. */
export function RosterBought({ rosterId, purchases, countedElsewhere, total }: BoughtProps) {
  return (
    <>
      {purchases.some(({ worth }) => worth === null) && (
        <p class="hurdle">
          Some of what was paid is not counted: the group no longer has an exchange rate for its currency. A steward can
          note one in the settings.
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
              total: 'Together',
              cell: ({ id, offerId, title }) => (
                <>
                  <a href={`/offers/${offerId}`}>{title}</a>{' '}
                  <StrikeOut at={`/rosters/${rosterId}/purchases/${id}`} id={id} what={title} />
                </>
              ),
            },
            { label: 'On', cell: ({ boughtOn }) => <DateWords on={boughtOn} /> },
            moneyColumn('Paid', 'paid', { total }),
          ]}
        />
      )}
      {countedElsewhere.map(({ id, title, paid, roster }) => (
        <p key={id} class="quiet">
          “{title}” is used here and was bought with{' '}
          {roster ? <a href={`/rosters/${roster.id}`}>{roster.name}</a> : 'a roster that is gone'}: the{' '}
          <Money value={paid} /> counts there.
        </p>
      ))}
    </>
  )
}

export interface SpendLine {
  id: string
  words: string
  on: string
  amount: MoneyValue
  cameIn: boolean
  /** In the group's currency; null without a rate. */
  worth: MoneyValue | null
}

interface Props {
  rosterId: string
  lines: SpendLine[]
  /** What they come to in the group's currency, what came in taken off. */
  total: MoneyValue
  currencies: [string, ...string[]]
  spending: FormState
  once: Record<string, string>
}

const directions = [
  { value: 'false', label: 'I paid it' },
  { value: 'true', label: 'it was paid to me, and is taken off' },
]

/** Bases, paint, shipping, a share: what else was spent, line by line. */
export function RosterOther({ rosterId, lines, total, currencies, spending, once }: Props) {
  return (
    <>
      {lines.some(({ worth }) => worth === null) && (
        <p class="hurdle">A line is not counted: the group no longer has an exchange rate for its currency.</p>
      )}
      {lines.length > 0 && (
        <DataTable
          caption="Other"
          rows={lines}
          rowKey={({ id }) => id}
          columns={[
            {
              label: 'For',
              head: true,
              total: 'Together',
              cell: ({ id, words, cameIn }) => (
                <>
                  {words} {cameIn && <small>came in, taken off</small>}
                  <StrikeOut at={`/rosters/${rosterId}/spend-lines/${id}`} id={`line-${id}`} what={words} />
                </>
              ),
            },
            { label: 'On', cell: ({ on }) => <DateWords on={on} /> },
            moneyColumn('Amount', 'amount', { total }),
          ]}
        />
      )}
      <div class="screen-only" id="other">
        <FoldedForm
          summary="Note what else it cost: bases, paint, shipping, a share"
          form={spending}
          id="spend-line"
          action={`/rosters/${rosterId}/spend-lines`}
          hidden={{ once: `${once.once}-other` }}
          button="Note it"
        >
          <TextField name="words" label="What for" />
          <MoneyField name="amount" label="Amount" currencies={currencies} />
          <SelectField name="cameIn" label="Which way" options={directions} />
          <DateField optional name="on" label="On" hint="Today if left empty." />
        </FoldedForm>
      </div>
    </>
  )
}

/** @param at the line's address */
const StrikeOut = ({ at, id, what }: { at: string; id: string; what: string }) => (
  <Press
    id={`strike-${id}`}
    class="inline screen-only"
    action={`${at}/remove`}
    button="Strike out"
    label={`Strike out: ${what}`}
  />
)
