import { Disclosure, Section } from '../parts/blocks.tsx'
import { DataTable } from '../parts/data-table.tsx'
import type { FormState } from '../parts/form.tsx'
import { Money, type MoneyValue, SumTable, type Term } from '../parts/money.tsx'
import { type Purchase, RosterBought, RosterOther, type SpendLine } from './RosterOther.tsx'
import { type PrintedEntry, RosterPrinted, type Tied } from './RosterPrinted.tsx'

type Sums = Record<'box' | 'actual' | 'offers' | 'resin' | 'plates' | 'cleanUp' | 'mending' | 'other', MoneyValue>

export interface Spend extends Sums {
  plan: MoneyValue | null
  lines: SpendLine[]
  beside: Record<'buying' | 'printing' | 'other', { planned: MoneyValue | null; actual: MoneyValue }>
  purchases: Purchase[]
  countedElsewhere: Purchase[]
  entries: PrintedEntry[]
}

interface Props {
  rosterId: string
  spend: Spend
  names: Record<string, string>
  currencies: [string, ...string[]]
  spending: FormState
  /** The member's reports that count for no entry yet; with the entry that is likely meant. */
  uncounted: (Tied & { entryId: string | null })[]
  once: Record<string, string>
}

/** What was really paid and printed so far, and what is still to do. */
export function RosterSpend(props: Props) {
  const { spend } = props
  const missing = spend.entries.reduce((sum, entry) => sum + entry.missing, 0)
  return (
    <Section heading="What it really cost" id="spend">
      <p>
        {Number(spend.actual.amount) === 0 ? (
          'Nothing is spent yet. '
        ) : (
          <>
            Spent so far:{' '}
            <strong>
              <Money value={spend.actual} />
            </strong>
            .{' '}
          </>
        )}
        {missing === 0
          ? 'All of it is printed.'
          : `${missing === 1 ? 'One model is' : `${missing} models are`} still to be printed.`}
      </p>
      {Number(spend.actual.amount) !== 0 && (
        <Disclosure summary="What it was spent on">
          <SumTable caption="So far" terms={termsOf(spend)} total={{ words: 'Spent so far', value: spend.actual }} />
        </Disclosure>
      )}
      {spend.plan && <Beside spend={spend} plan={spend.plan} />}
      <RosterBought
        {...props}
        purchases={spend.purchases}
        countedElsewhere={spend.countedElsewhere}
        total={spend.offers}
      />
      <RosterOther {...props} lines={spend.lines} total={spend.other} />
      <RosterPrinted {...props} entries={spend.entries} />
    </Section>
  )
}

/** What has cost anything so far. */
function termsOf(spend: Spend): Term[] {
  const terms = [
    { words: 'Paid for offers', value: spend.offers },
    {
      words: 'Resin of every copy tried',
      note: 'at its price now, yours where you have bottles here',
      value: spend.resin,
    },
    { words: 'Plates', note: 'a shared one by its share of the copies', value: spend.plates },
    { words: 'Clean-up', note: 'of lost copies, and of plates on which anything failed', value: spend.cleanUp },
    { words: 'Time of mending', note: 'as far as it was told', value: spend.mending },
    { words: 'Other', note: 'what came in is taken off', value: spend.other },
  ]
  return terms.filter(({ value }) => Number(value.amount) !== 0)
}

/** What the plan foresaw, and what it came to so far. */
function Beside({ spend: { beside, actual }, plan }: { spend: Spend; plan: MoneyValue }) {
  const rows = [
    { words: 'Buying', ...beside.buying },
    { words: 'Printing, with its failures', ...beside.printing },
    { words: 'Other', ...beside.other },
  ].filter(({ planned, actual: spent }) => Number(planned?.amount ?? 0) !== 0 || Number(spent.amount) !== 0)
  return (
    <Disclosure summary="What the plan foresaw, and what it came to">
      <DataTable
        captionHidden
        caption="What the plan foresaw, and what it came to"
        rows={rows}
        rowKey={({ words }) => words}
        columns={[
          { label: 'For', head: true, cell: ({ words }) => words, total: 'Together' },
          {
            label: 'As planned, all of it',
            figures: true,
            cell: ({ planned }) => (planned ? <Money value={planned} /> : 'not planned'),
            total: <Money value={plan} />,
          },
          {
            label: 'So far',
            figures: true,
            cell: ({ actual: spent }) => <Money value={spent} />,
            total: <Money value={actual} />,
          },
        ]}
      />
      <p class="quiet">By the last plan: what was spent when it was made, and what was still to be spent then.</p>
    </Disclosure>
  )
}
