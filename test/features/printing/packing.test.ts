import { expect, test } from 'vitest'
import { copiesFitting, filledAlike } from '../../../server/features/printing/plates/packing.ts'
import { copiesOnPlate, type Foot, filledPlate, usualFoot } from '../../../server/planning/plate.ts'

const plates = [
  { plateWidthMm: 130, plateDepthMm: 80 },
  { plateWidthMm: 80, plateDepthMm: 130 },
  { plateWidthMm: 192, plateDepthMm: 120 },
]
const feet: Foot[] = [
  usualFoot,
  { ...usualFoot, widestLayerMm2: 1030 },
  { base: { shape: 'oval', widthMm: 60, lengthMm: 120 }, widestLayerMm2: null },
  { base: { shape: 'rectangle', widthMm: 60, lengthMm: 35 }, widestLayerMm2: null },
  { base: { shape: 'round', widthMm: 150 }, widestLayerMm2: null },
]

test('what is kept of a packing is what packing comes to, for every foot, plate and crowding', () => {
  // The second time it is what was kept.
  for (let time = 0; time < 2; time++)
    for (const plate of plates)
      for (const foot of feet) {
        for (const crowding of ['half empty', 'about full', 'packed'] as const)
          expect(copiesFitting(plate, crowding)(foot)).toBe(copiesOnPlate(foot, plate, crowding))
        for (const copies of [1, 4, 30])
          expect(filledAlike(foot, copies, plate)).toEqual(filledPlate(Array(copies).fill(foot), plate))
      }
})
