import type { MoneyValue } from '../parts/money.tsx'
import { type BarTerm, TwoBars } from '../parts/two-bars.tsx'
import type { Plan } from './RosterPlan.tsx'
import type { Spend } from './RosterSpend.tsx'

interface Props {
  spend: Spend
  /** Null before there is a plan. */
  totals: Plan['totals'] | null
  /** Whether every entry's box has a known price. */
  isPriced: boolean
}

/** The roster's money: what the boxes would cost beside what is spent and what the plan still asks for. */
export function RosterBars({ spend, totals, isPriced }: Props) {
  const none = { ...spend.actual, amount: '0' }
  const boxes = totals ? totals.retail : spend.box
  const isPart = totals !== null && Number(totals.retail.amount) < Number(spend.box.amount)
  return (
    <div id="money">
      <TwoBars
        boxes={Number(boxes.amount) > 0 ? boxes : null}
        boxesWords={wordsOf(isPart, totals, isPriced)}
        terms={termsOf(spend, totals, none)}
        spent={spend.actual}
        toCome={totals?.money ?? null}
        all={totals?.all ?? spend.actual}
      />
    </div>
  )
}

function termsOf(spend: Spend, totals: Plan['totals'] | null, none: MoneyValue): BarTerm[] {
  const of = totals?.printingOf
  return [
    { words: 'files', kind: 'price', spent: spend.offers, toCome: totals?.offers ?? none },
    { words: 'resin', kind: 'resin', spent: spend.resin, toCome: of?.resin ?? none },
    { words: 'plates', kind: 'plates', spent: spend.plates, toCome: of?.plates ?? none },
    { words: 'failures', kind: 'failures', spent: spend.cleanUp, toCome: of?.failures ?? none },
    { words: 'time for snags', kind: 'snags', spent: spend.mending, toCome: of?.snagTime ?? none },
    { words: 'other', kind: 'other', spent: spend.other, toCome: none },
  ]
}

function wordsOf(isPart: boolean, totals: Plan['totals'] | null, isPriced: boolean): string {
  if (totals ? totals.withoutRetail.length > 0 : !isPriced) return 'the boxes, as far as their price is known'
  return isPart ? 'the boxes of what the plan covers' : 'the boxes'
}
