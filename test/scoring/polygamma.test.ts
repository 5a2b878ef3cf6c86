import fc from 'fast-check'
import { expect, test } from 'vitest'
import { logGamma } from '../../server/scoring/beta.ts'
import { digamma, trigamma } from '../../server/scoring/polygamma.ts'

/** Euler's constant, from memory. */
const euler = 0.5772156649015329

// NIST Digital Library of Mathematical Functions, 5.4.12, 5.4.13 and 5.15.2 with 25.2
test('special values', () => {
  expect(digamma(1)).toBeCloseTo(-euler, 12)
  expect(digamma(0.5)).toBeCloseTo(-euler - 2 * Math.log(2), 12)
  expect(digamma(100)).toBeCloseTo(sumTo(99, (n) => 1 / n) - euler, 12)
  expect(trigamma(1)).toBeCloseTo(Math.PI ** 2 / 6, 12)
  expect(trigamma(0.5)).toBeCloseTo(Math.PI ** 2 / 2, 12)
  expect(trigamma(100)).toBeCloseTo(Math.PI ** 2 / 6 - sumTo(99, (n) => 1 / n ** 2), 12)
})

function sumTo(last: number, term: (n: number) => number): number {
  return Array.from({ length: last }, (_, index) => term(index + 1)).reduce((sum, one) => sum + one, 0)
}

test('they are the slope and the curvature of log gamma', () => {
  fc.assert(
    fc.property(fc.double({ min: 0.1, max: 1e4, noNaN: true }), (z) => {
      const h = 1e-4 * z
      const slope = (logGamma(z + h) - logGamma(z - h)) / (2 * h)
      expect(Math.abs(digamma(z) - slope)).toBeLessThan(1e-6 * Math.max(1, Math.abs(slope)))
      const curvature = (digamma(z + h) - digamma(z - h)) / (2 * h)
      expect(Math.abs(trigamma(z) / curvature - 1)).toBeLessThan(1e-6)
    }),
  )
})
