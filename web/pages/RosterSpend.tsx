import { Money, type MoneyValue } from '../parts/money.tsx'
import { Facts, Section } from '../parts/section.tsx'
import { SumTable } from '../parts/sum-table.tsx'
import type { FormState } from './EditRoster.tsx'
import { type Purchase, RosterBought } from './RosterBought.tsx'
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
  purchases: Purchase[]
  countedElsewhere: Purchase[]
  entries: PrintedEntry[]
}

interface Props {
  rosterId: string
  spend: Spend
  names: Record<string, string>
  currencies: [string, ...string[]]
  /** Offers of the plan that are not ticked off yet. */
  toBuy: { offerId: string; title: string }[]
  buying: FormState
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
        ]}
        total={{ words: 'Spent so far', value: spend.actual }}
      />
      <Facts
        facts={[
          ['As planned, all of it', spend.plan && <Money value={spend.plan} />],
          ['The boxes, as far as known', <Money key="box" value={spend.box} />],
          ['Models still to print', missing === 0 ? 'none, the roster is complete' : missing],
        ]}
      />
      <RosterBought {...props} purchases={spend.purchases} countedElsewhere={spend.countedElsewhere} />
      <RosterPrinted {...props} entries={spend.entries} />
    </Section>
  )
}
