import { Actions, Button } from '../parts/button.tsx'
import { SelectField } from '../parts/choice-field.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { ErrorSummary } from '../parts/error-summary.tsx'
import { DateField, TextField } from '../parts/field.tsx'
import { Form } from '../parts/form.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { MoneyField } from '../parts/money-field.tsx'
import type { FormState } from './EditRoster.tsx'

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
        <p class="hurdle">A line is not counted: the group keeps no rate for its currency any more.</p>
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
              cell: (line) => <LineCell rosterId={rosterId} line={line} />,
            },
            { label: 'On', cell: ({ on }) => <DateWords on={on} /> },
            {
              label: 'Amount',
              figures: true,
              cell: ({ amount }) => <Money value={amount} />,
              total: <Money value={total} />,
            },
          ]}
        />
      )}
      <div class="screen-only" id="other">
        <Disclosure
          summary="Note what else it cost: bases, paint, shipping, a share"
          open={Object.keys(spending.errors).length > 0}
        >
          <Form
            id="spend-line"
            action={`/rosters/${rosterId}/spend-lines`}
            hidden={{ once: `${once.once}-other` }}
            {...spending}
          >
            <ErrorSummary />
            <TextField name="words" label="What for" />
            <MoneyField name="amount" label="Amount" currencies={currencies} />
            <SelectField name="cameIn" label="Which way" options={directions} />
            <DateField optional name="on" label="On" hint="Today if left empty." />
            <Actions>
              <Button>Note it</Button>
            </Actions>
          </Form>
        </Disclosure>
      </div>
    </>
  )
}

function LineCell({ rosterId, line: { id, words, cameIn } }: { rosterId: string; line: SpendLine }) {
  return (
    <>
      {words} {cameIn && <small>came in, taken off</small>}
      <Form
        id={`strike-line-${id}`}
        class="inline screen-only"
        action={`/rosters/${rosterId}/spend-lines/${id}/remove`}
      >
        <Button label={`Strike out: ${words}`}>Strike out</Button>
      </Form>
    </>
  )
}
