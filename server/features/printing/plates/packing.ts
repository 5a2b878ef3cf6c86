import { recent } from '../../../../web/parts/kept.ts'
import { copiesOnPlate, type FilledPlate, type Foot, filledPlate } from '../../../planning/plate.ts'
import type { Crowding, Plate } from '../../../planning/printing.ts'

/*
 * How copies of one file go on a plate, as the planning packs them. Packing takes long, and the same feet come to the same
 * plates again and again, so what was packed last is kept.
 */

const counts = recent<number>(2000)
const plates = recent<{ filled: FilledPlate | undefined }>(500)

/** `copiesOnPlate` of this plate, for any foot. */
export const copiesFitting =
  (plate: Plate, crowding: Crowding) =>
  (foot: Foot): number =>
    counts(`${keyOf(foot, plate)} ${crowding}`, () => copiesOnPlate(foot, plate, crowding))

/** `filledPlate` of so many alike. */
export const filledAlike = (foot: Foot, copies: number, plate: Plate): FilledPlate | undefined =>
  plates(`${keyOf(foot, plate)} ${copies}`, () => ({
    filled: filledPlate(
      Array.from({ length: copies }, () => foot),
      plate,
    ),
  })).filled

/** All that packing looks at. */
const keyOf = ({ base, widestLayerMm2 }: Foot, { plateWidthMm, plateDepthMm }: Plate) =>
  [base.shape, base.widthMm, base.lengthMm, widestLayerMm2, plateWidthMm, plateDepthMm].join(' ')
