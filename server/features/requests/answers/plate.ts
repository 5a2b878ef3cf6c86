import type { PlateDrawingProps } from '../../../../web/parts/plate-drawing.tsx'
import { baseOf } from '../../../http/base.ts'
import { footOf } from '../../../planning/plate.ts'
import { usualMachine } from '../../../planning/printing.ts'
import { spread } from '../../../scoring/chances.ts'
import { filledAlike } from '../../printing/plates/packing.ts'
import type { Facts } from './facts.ts'
import type { Answer } from './schema.ts'

/** The fullest of an answer's plates as it will be packed; nothing where nobody knows what a copy covers, or none fits. */
export function plateOf({ file: { id }, printing }: Answer, facts: Facts): PlateDrawingProps | undefined {
  const file = facts.files.get(id)
  const foot = file && footOf(file.footPrint, baseOf(file))
  const { copies, plates, expectedFailures } = printing
  if (!foot || !plates || !printing.fits) return undefined
  const machine = facts.printer ?? usualMachine
  const onPlate = spread(copies, plates)[0] ?? 0
  const filled = filledAlike(foot, onPlate, machine)
  if (!filled) return undefined
  const failing = Math.round((expectedFailures * onPlate) / copies)
  return {
    plateMm: [machine.plateWidthMm, machine.plateDepthMm],
    copies: filled.places,
    failing,
    label: plateLabel({ onPlate, plates, failing }),
  }
}

/** "The fullest of 2 plates, with 8 on it; 1 crossed out, as many as fail on average" */
function plateLabel({ onPlate, plates, failing }: { onPlate: number; plates: number; failing: number }): string {
  const where = plates === 1 ? `${onPlate} on one plate` : `The fullest of ${plates} plates, with ${onPlate} on it`
  if (failing === 0) return where
  return `${where}; ${failing} crossed out, as many as fail on average`
}
