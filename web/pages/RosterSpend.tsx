import { DataTable } from '../parts/data-table.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { Facts, Section } from '../parts/section.tsx'
import { SumTable } from '../parts/sum-table.tsx'
import type { FormState } from './EditRoster.tsx'
import { type Purchase, RosterBought } from './RosterBought.tsx'
import { RosterOther, type SpendLine } from './RosterOther.tsx'
import { type PrintedEntry, RosterPrinted, type Tied } from './RosterPrinted.tsx'

export interface Spend {
  box: MoneyValue
  plan: MoneyValue | null
  actual: MoneyValue
  offers: MoneyValue
  resin: MoneyValue
  plates: MoneyValue
  cleanUp: MoneyValue
  mending: MoneyValue
  other: MoneyValue
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
      <SumTable
        caption="So far"
        terms={[
          { words: 'Paid for offers', value: spend.offers },
          {
            words: 'Resin of every copy tried',
            note: 'at its price now, yours where you have bottles here',
            value: spend.resin,
          },
          { words: 'Plates', note: 'one with other prints by the share of its copies', value: spend.plates },
          { words: 'Clean-up', note: 'of lost copies, and of plates on which anything failed', value: spend.cleanUp },
          ...(Number(spend.mending.amount) > 0
            ? [{ words: 'Time of mending', note: 'as far as it was told', value: spend.mending }]
            : []),
          ...(spend.lines.length > 0
            ? [{ words: 'Other', note: 'what came in is taken off', value: spend.other }]
            : []),
        ]}
        total={{ words: 'Spent so far', value: spend.actual }}
      />
      <Facts
        facts={[
          ['The boxes, as far as known', <Money key="box" value={spend.box} />],
          ['Models still to print', missing === 0 ? 'none, the roster is complete' : missing],
        ]}
      />
      {spend.plan && <Beside spend={spend} plan={spend.plan} />}
      <RosterBought {...props} purchases={spend.purchases} countedElsewhere={spend.countedElsewhere} />
      <RosterOther {...props} lines={spend.lines} />
      <RosterPrinted {...props} entries={spend.entries} />
    </Section>
  )
}

/** What the plan foresaw, and what it came to so far. */
function Beside({ spend: { beside, actual }, plan }: { spend: Spend; plan: MoneyValue }) {
  const rows = [
    { words: 'Buying', ...beside.buying },
    { words: 'Printing, with its failures', ...beside.printing },
    { words: 'Other', ...beside.other },
  ]
  return (
    <>
      <DataTable
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
    </>
  )
}
