import { expect, test } from 'vitest'
import { resized } from '../../../web/mesh/resized.ts'

// By arithmetic: twice the edge of a cube is eight times its volume; (32 / 28)^3 = 512 / 343.
test('volume goes with the cube of the scale', () => {
  expect(resized(3, 28, 56)).toBe(24)
  expect(resized(343, 28, 32)).toBeCloseTo(512, 9)
  expect(resized(3, 28, 28)).toBe(3)
})

test.each([
  [0, 32],
  [28, -1],
  [28, Number.NaN],
])('no figure has a scale of %d or %d mm', (from, to) => {
  expect(() => resized(3, from, to)).toThrow(RangeError)
})
