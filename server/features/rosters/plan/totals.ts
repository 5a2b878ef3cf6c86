import type { Group } from '../../../http/group.ts'
import { fromMinor, toMinor } from '../../../http/money.ts'
import { gramsPerMlOf, type Now, sumsOf, tenth } from './now.ts'
import type { ShownPlan } from './schema.ts'
import type { PrintTerms } from './stored-schema.ts'

/**
 * What is spent, what is still to be spent by the plan, and both together beside the boxes of what is covered: entries that
 * are planned, and those whose models are all printed.
 */
export function totalsShown(now: Now, group: Group): ShownPlan['totals'] {
  const { currency } = group
  const { outcome, rest, around } = now
  const sum = (of: (one: Now['rest'][number]) => number) => rest.reduce((all, one) => all + of(one), 0)
  const inMoney = (minor: number) => fromMinor(minor, currency)
  const termOf = (term: keyof PrintTerms) => inMoney(sum(({ terms }) => terms[term]))
  const offersMinor = stillToPay(now)
  const printMinor = sum((one) => one.printMinor)
  const spentMinor = toMinor(around.spend.actual)
  const resinMl = sum((one) => one.resinMl)
  return {
    ...sumsOf(currency, offersMinor, printMinor),
    printingOf: {
      resin: termOf('resinMinor'),
      plates: termOf('platesMinor'),
      failures: termOf('failuresMinor'),
      snagTime: termOf('snagsMinor'),
    },
    spent: around.spend.actual,
    all: fromMinor(spentMinor + offersMinor + printMinor, currency),
    looks: fromMinor(outcome.result.plan.totals.looksMinor, currency),
    ...savingShown(now, spentMinor + offersMinor + printMinor, currency),
    plates: sum((one) => one.plates ?? 0),
    hours: tenth(sum((one) => one.hours ?? 0)),
    resinMl: tenth(resinMl),
    resinG: tenth(resinMl * gramsPerMlOf(outcome, group)),
  }
}

/** Prices of the offers that something is still printed from and that were not bought yet. */
function stillToPay({ outcome, rest, around }: Now): number {
  const needed = new Set(rest.map(({ entry }) => entry.offerId))
  return outcome.result.plan.offers
    .filter(({ offerId }) => needed.has(offerId) && !around.bought.has(offerId))
    .reduce((sum, { priceMinor }) => sum + priceMinor, 0)
}

type Saving = Pick<ShownPlan['totals'], 'retail' | 'withoutRetail' | 'saving' | 'savingShare' | 'savingAtLeast'>

function savingShown({ outcome, done, around }: Now, allMinor: number, currency: string): Saving {
  const { entries, totals } = outcome.result.plan
  const planned = new Set(entries.map(({ entryId }) => entryId))
  const printed = [...done].filter((id) => !planned.has(id))
  const boxes = printed.map((id) => around.entries.get(id)?.retailMinor ?? null)
  const retailMinor = boxes.reduce((sum: number, box) => sum + (box ?? 0), totals.retailMinor)
  const withoutRetail = [...totals.withoutRetail, ...printed.filter((_, place) => boxes[place] === null)]
  const savingMinor = retailMinor - allMinor
  const isKnown = withoutRetail.length === 0 && retailMinor > 0
  return {
    retail: fromMinor(retailMinor, currency),
    withoutRetail,
    saving: isKnown ? fromMinor(savingMinor, currency) : null,
    savingShare: isKnown ? savingMinor / retailMinor : null,
    // Boxes whose price nobody knows cost something as well.
    savingAtLeast: !isKnown && savingMinor > 0 ? fromMinor(savingMinor, currency) : null,
  }
}
