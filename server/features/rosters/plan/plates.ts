import type { PlateDrawingProps } from '../../../../web/parts/plate-drawing.tsx'
import { type FilledPlate, filledPlate } from '../../../planning/plate.ts'
import type { Plate } from '../../../planning/printing.ts'
import type { ShownPlan } from './schema.ts'
import type { StoredPlan } from './stored.ts'
import type { PlannedPrint } from './stored-schema.ts'

/** More plates nobody looks at, and packing each takes a moment. */
const mostDrawn = 40

/** By `drawnKey`, the plate of each entry of a plan as it is packed: the fullest one where it takes several. */
export function drawnPlates({ outcome }: StoredPlan, plan: ShownPlan): Map<string, PlateDrawingProps> {
  const prints = new Map(outcome.prints.map((print) => [drawnKey(print), print]))
  return new Map(
    plan.entries.slice(0, mostDrawn).flatMap((entry) => {
      const print = prints.get(drawnKey(entry))
      const filled = print && fullestPlate(print, entry.copies)
      if (!print?.plate || !filled) return []
      const failing = Math.round((filled.places.length * entry.expectedFailures) / entry.copies)
      return [[drawnKey(entry), drawn(print.plate, filled.places, failing)] as const]
    }),
  )
}

/** The first plate of so many copies, with as many as the plan counts for one; undefined where that is not known. */
export function fullestPlate({ plate, foot, copiesPerPlate }: PlannedPrint, copies: number): FilledPlate | undefined {
  if (!plate || !foot || !copiesPerPlate) return undefined
  return filledPlate(
    Array.from({ length: Math.min(copies, copiesPerPlate) }, () => foot),
    plate,
  )
}

export const drawnKey = ({ entryId, fileId }: { entryId: string; fileId: string }) => `${entryId} ${fileId}`

function drawn(
  { plateWidthMm, plateDepthMm }: Plate,
  copies: PlateDrawingProps['copies'],
  failing: number,
): PlateDrawingProps {
  const some = copies.length === 1 ? '1 copy' : `${copies.length} copies`
  return {
    plateMm: [plateWidthMm, plateDepthMm],
    copies,
    failing,
    widthPx: 112,
    label:
      failing > 0 ? `${some} on the plate; ${failing} crossed out, as many as fail on average` : `${some} on the plate`,
  }
}
