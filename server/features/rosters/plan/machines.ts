import { baseOf } from '../../../http/base.ts'
import { type Foot, footOf } from '../../../planning/plate.ts'
import { fitsOn } from '../../../planning/printing.ts'
import { copiesFitting } from '../../printing/plates/packing.ts'
import type { PresentPrinter } from '../../printing/printers/own.ts'
import { type FileFacts, priceOf } from '../../requests/answers/facts.ts'
import type { PricedPrint } from '../../requests/answers/price.ts'
import type { RosterFacts } from './facts.ts'

/** A print as a plan counts it, on the printer that it is for. */
export interface PlacedPrint extends PricedPrint {
  /** what a copy covers; null where nobody knows */
  foot: Foot | null
  /** null for whoever has none */
  printer: PresentPrinter | null
  /** false: on none of the member's printers */
  fits: boolean
}

/**
 * Prices a file as the ranking does, by the member's usual printer, and places it on that, or where it does not fit there,
 * on the first of theirs that takes it: plates and hours are then of the other one.
 */
export function placing(facts: RosterFacts): (file: FileFacts, wanted: number) => PlacedPrint | undefined {
  const { printer: usual, printers, crowding } = facts
  const machines = printers
    .toSorted((one, other) => Number(other.id === usual?.id) - Number(one.id === usual?.id))
    .map((printer) => ({ printer, onPlate: copiesFitting(printer, crowding) }))
  return (file, wanted) => {
    const print = priceOf(facts, file, wanted)
    const foot = footOf(file.footPrint, baseOf(file))
    if (!print || !usual) return print && { ...print, foot, printer: null, fits: true }
    for (const { printer, onPlate } of machines) {
      const copiesPerPlate = foot && onPlate(foot)
      if (fitsOn({ copiesPerPlate, heightMm: file.heightMm }, printer))
        return { ...print, foot, copiesPerPlate, printer, fits: true }
    }
    return { ...print, foot, printer: usual, fits: false }
  }
}
