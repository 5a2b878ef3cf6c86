import type { Group } from '../../../http/group.ts'
import { fromMinor } from '../../../http/money.ts'
import type { PlannedEntry } from '../../../planning/plan.ts'
import type { ShownOffer } from '../../catalogue/offers/queries.ts'
import type { ResinRates } from '../../printing/resins/rules.ts'
import { exchangeInto } from '../../requests/answers/rules.ts'
import type { EntryRow } from '../entries.ts'
import { retailMinor } from '../rules.ts'
import type { Spend } from '../spend/schema.ts'
import type { Outcome, PlannedPrint, PrintTerms } from './stored-schema.ts'

/** What a plan is shown with; a page that shows more has read it together with that. */
export interface Around {
  /** of files, as the viewer may read them */
  titles: ReadonlyMap<string, string>
  offers: ReadonlyMap<string, ShownOffer>
  /** offers that the viewer noted as bought */
  bought: ReadonlySet<string>
  /** what was paid and printed for the roster by now */
  spend: Pick<Spend, 'actual' | 'entries'>
  entries: ReadonlyMap<string, Box>
  /** what resin costs and weighs for the viewer by now */
  resin: ResinRates
}

/** An entry of the list: whether its unit is known, and what its boxes cost if that is. */
interface Box {
  hasUnit: boolean
  retailMinor: number | null
}

/** A plan as it stands now: without what was bought and printed since it was made. */
export interface Now {
  outcome: Outcome
  rest: Rest[]
  /** entries all of whose models are printed */
  done: ReadonlySet<string>
  around: Around
}

/** Density of what the plan is printed with. */
export const gramsPerMlOf = ({ resin }: Outcome, { resinGramsPerMl }: Group) => resin?.gramsPerMl ?? resinGramsPerMl

export const boxesOf = (entries: readonly EntryRow[], group: Group): Around['entries'] => {
  const exchange = exchangeInto(group)
  return new Map(
    entries.map((row) => [row.id, { hasUnit: row.unitId !== null, retailMinor: retailMinor(row, exchange) }]),
  )
}

export function nowOf(outcome: Outcome, around: Around): Now {
  const missing = new Map(around.spend.entries.map((entry) => [entry.entryId, entry.missing]))
  const done = new Set([...missing].filter(([, models]) => models === 0).map(([id]) => id))
  return { outcome, around, done, rest: restOf(outcome, missing) }
}

/** Whether more is to be printed than was when it was planned: a print no longer counts. */
export function lacksSome({ outcome: { result }, around }: Now): boolean {
  const { entries, uncovered } = result.plan
  const without = new Set(uncovered.map(({ entryId }) => entryId))
  return around.spend.entries.some(({ entryId, missing }) => {
    const planned = entries.filter((entry) => entry.entryId === entryId)
    return !without.has(entryId) && missing > planned.reduce((sum, { models }) => sum + models, 0)
  })
}

/** Whether a bottle's price or density is another than it was planned with, or another bottle is the usual one. */
export const isOtherResin = ({ rates }: Outcome, now: ResinRates) =>
  rates !== undefined &&
  (rates.resinGramsPerMl !== now.resinGramsPerMl || rates.resinPricePerKgMinor !== now.resinPricePerKgMinor)

export const sumsOf = (currency: string, offersMinor: number, printMinor: number) => ({
  offers: fromMinor(offersMinor, currency),
  printing: fromMinor(printMinor, currency),
  money: fromMinor(offersMinor + printMinor, currency),
})

export const tenth = (value: number) => Math.round(value * 10) / 10

/** An entry of a plan, or a part of it, as far as it is still to be printed. */
interface Rest {
  entry: PlannedEntry
  print: PlannedPrint
  models: number
  copies: number
  expectedFailures: number
  printMinor: number
  /** what that is made of; all resin where an earlier version made the plan */
  terms: PrintTerms
  resinMl: number
  plates: number | null
  hours: number | null
}

/**
 * What is still to be printed of a plan after what was printed since.
 *
 * @param missing models of each entry that are not printed yet; of one that is gone from the list, what was planned is left
 */
function restOf({ result, prints }: Outcome, missing: ReadonlyMap<string, number>): Rest[] {
  const left = new Map(missing)
  return result.plan.entries.flatMap((entry, place) => {
    const models = Math.min(entry.models, left.get(entry.entryId) ?? entry.models)
    left.set(entry.entryId, (left.get(entry.entryId) ?? models) - models)
    const print = prints[place]
    return print && models > 0 ? restOfOne(entry, print, models) : []
  })
}

function restOfOne(entry: PlannedEntry, print: PlannedPrint, models: number): Rest {
  const { expectedFailures, resinMl, copiesPerPlate, estimate } = print
  const share = models / entry.models
  // Whole copies of all that is left, the failures that go with it included.
  const copies = Math.ceil(share * (entry.models + expectedFailures) - 1e-9)
  const plates = estimate && copiesPerPlate ? Math.ceil(copies / copiesPerPlate) : null
  const printMinor = Math.round(share * entry.printMinor)
  const hoursPerPlate = estimate?.hoursPerPlate ?? null
  return {
    entry,
    print,
    models,
    copies,
    plates,
    expectedFailures: share * expectedFailures,
    printMinor,
    terms: shareOf(print.terms, share, printMinor),
    resinMl: copies * (resinMl / print.copies),
    hours: plates === null || hoursPerPlate === null ? null : plates * hoursPerPlate,
  }
}

/** The same share of each term; what rounding leaves over counts as resin. */
function shareOf(terms: PrintTerms | undefined, share: number, printMinor: number): PrintTerms {
  const part = (minor = 0) => Math.round(share * minor)
  const others = {
    platesMinor: part(terms?.platesMinor),
    failuresMinor: part(terms?.failuresMinor),
    snagsMinor: part(terms?.snagsMinor),
  }
  return { resinMinor: printMinor - others.platesMinor - others.failuresMinor - others.snagsMinor, ...others }
}
