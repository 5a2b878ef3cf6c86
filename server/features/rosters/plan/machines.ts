import { baseOf } from '../../../http/base.ts'
import { fitsOn } from '../../../planning/printing.ts'
import { machineOn, type PresentPrinter } from '../../printing/printers/own.ts'
import { type FileFacts, priceOf } from '../../requests/answers/facts.ts'
import { type PricedPrint, pricing } from '../../requests/answers/price.ts'
import type { RosterFacts } from './facts.ts'

/** A print as a plan counts it, on the printer that it is for. */
export interface PlacedPrint extends PricedPrint {
  /** null for whoever has none */
  printer: PresentPrinter | null
  /** false: on none of the member's printers; then it is counted on the usual one */
  fits: boolean
}

/** Prices a file on the member's usual printer, or where it does not fit there, on the first of theirs that takes it. */
export function placing(facts: RosterFacts): (file: FileFacts, wanted: number) => PlacedPrint | undefined {
  const { printer: usual, printers, model, group, crowding } = facts
  const others = printers
    .filter(({ id }) => id !== usual?.id)
    .map((printer) => ({
      printer,
      pricing: pricing({ group, draws: model.group, machine: machineOn(printer, model), crowding }, printer),
    }))
  return (file, wanted) => {
    if (!usual || takes(file, { printer: usual, pricing: facts.pricing }))
      return placed(facts, file, wanted, usual, true)
    const other = others.find((one) => takes(file, one))
    if (!other) return placed(facts, file, wanted, usual, false)
    return placed({ ...facts, pricing: other.pricing }, file, wanted, other.printer, true)
  }
}

type On = Pick<RosterFacts, 'pricing'> & { printer: PresentPrinter }

function takes(file: FileFacts, { printer, pricing: { onPlate } }: On): boolean {
  const base = baseOf(file)
  return fitsOn({ copiesPerPlate: base && onPlate(base), heightMm: file.heightMm }, printer)
}

function placed(facts: RosterFacts, file: FileFacts, wanted: number, printer: PresentPrinter | null, fits: boolean) {
  const print = priceOf(facts, file, wanted)
  return print && { ...print, printer, fits }
}
