import type { PlateDrawingProps } from '../../../../web/parts/plate-drawing.tsx'
import { placesOnPlate } from '../../../planning/printing.ts'
import type { File } from '../../catalogue/files/schema.ts'
import type { ShownPlan } from './schema.ts'
import type { StoredPlan } from './stored.ts'

/** More plates nobody looks at, and packing each takes a moment. */
const mostDrawn = 40

/** By `drawnKey`, the plate of each entry of a plan as it is packed: the fullest one where it takes several. */
export function drawnPlates(
  { outcome }: StoredPlan,
  plan: ShownPlan,
  files: readonly File[],
): Map<string, PlateDrawingProps> {
  const bases = new Map(files.map(({ id, base }) => [id, base]))
  const prints = new Map(outcome.prints.map((print) => [drawnKey(print), print]))
  return new Map(
    plan.entries.slice(0, mostDrawn).flatMap((entry) => {
      const { plate, copiesPerPlate } = prints.get(drawnKey(entry)) ?? {}
      const base = bases.get(entry.fileId)
      if (!plate || !copiesPerPlate || !base) return []
      const copies = placesOnPlate(base, plate, outcome.crowding, Math.min(entry.copies, copiesPerPlate))
      const failing = Math.round((copies.length * entry.expectedFailures) / entry.copies)
      return [[drawnKey(entry), drawn(plate, copies, failing)] as const]
    }),
  )
}

export const drawnKey = ({ entryId, fileId }: { entryId: string; fileId: string }) => `${entryId} ${fileId}`

function drawn(
  { plateWidthMm, plateDepthMm }: { plateWidthMm: number; plateDepthMm: number },
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
      failing > 0 ? `${some} on the plate, ${failing} crossed out: as many fail on average` : `${some} on the plate`,
  }
}
