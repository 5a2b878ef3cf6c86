import type { PlannedEntry } from '../../../planning/plan.ts'
import type { Outcome, PlannedPrint, PrintTerms } from './stored-schema.ts'

/** An entry of a plan, or a part of it, as far as it is still to be printed. */
export interface Rest {
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
export function restOf({ result, prints }: Outcome, missing: ReadonlyMap<string, number>): Rest[] {
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
