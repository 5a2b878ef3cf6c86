import { expect, test } from 'vitest'
import { betterUnit, fits, saysItsUnit } from '../../../web/mesh/units.ts'

test('a size that fits the scale is not questioned', () => {
  for (const largest of [8, 32, 60, 180]) {
    expect(fits(largest, 32)).toBe(true)
    expect(betterUnit(largest, 'mm', 32)).toBeNull()
  }
})

// By arithmetic, with the inch of 25.4 mm.
test.each([
  { largestMm: 1.3, chosen: 'mm', better: { unit: 'inch', largestMm: 33.02 } },
  { largestMm: 0.04, chosen: 'mm', better: { unit: 'm', largestMm: 40 } },
  { largestMm: 1100, chosen: 'm', better: { unit: 'inch', largestMm: 27.94 } },
  { largestMm: 838.2, chosen: 'inch', better: { unit: 'mm', largestMm: 33 } },
] as const)('$largestMm mm in $chosen fits better in $better.unit', ({ largestMm, chosen, better }) => {
  const found = betterUnit(largestMm, chosen, 32)
  expect(found?.unit).toBe(better.unit)
  expect(found?.largestMm).toBeCloseTo(better.largestMm, 6)
})

test('where no unit fits, none is proposed', () => {
  expect(betterUnit(500, 'mm', 32)).toBeNull()
})

test('3MF says its unit, the others do not', () => {
  expect(['a.3MF', 'b.stl', 'c.obj'].map(saysItsUnit)).toEqual([true, false, false])
})
