import betaln from '@stdlib/math-base-special-betaln'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { logBeta, logGamma, logRisings } from '../../server/scoring/gamma.ts'
import { Random } from '../../server/scoring/random.ts'
import { referenceText } from './reference.ts'

/** a, b, then the .001, .1, .5, .9 and .999 points by R 4.2.2 qbeta. */
const table = referenceText('qbeta.txt')
  .trim()
  .split('\n')
  .map((line) => line.trim().split(/\s+/).map(Number))
const chances = [0.001, 0.1, 0.5, 0.9, 0.999]

const parameter = fc.double({ min: 0.05, max: 500, noNaN: true })

describe('draws of a Beta lie below the points of R as often as they should', () => {
  const draws = 40_000

  test.each(table)('Beta(%d, %d)', (a, b, ...points) => {
    const random = new Random(1)
    // The odds of failure, so that chances near 1 keep their digits.
    const odds = Float64Array.from({ length: draws }, () => random.betaOdds(a ?? 1, b ?? 1))
    points.forEach((point, index) => {
      // R rounds some ends to 1.
      if (point === 1) return
      const chance = chances[index] ?? Number.NaN
      const below = odds.reduce((count, value) => count + (value > (1 - point) / point ? 1 : 0), 0)
      const sd = Math.sqrt(chance * (1 - chance) * draws)
      expect(Math.abs(below - chance * draws)).toBeLessThan(4.5 * sd)
    })
  })

  test('all fifty points of the table are there', () => {
    expect(table.flatMap((row) => row.slice(2))).toHaveLength(50)
  })
})

test('log beta agrees with the library', () => {
  fc.assert(
    fc.property(parameter, parameter, (a, b) => {
      expect(Math.abs(logBeta(a, b) - betaln(a, b))).toBeLessThanOrEqual(1e-11 * (1 + Math.abs(betaln(a, b))) + 1e-10)
    }),
  )
})

test('a product of so many factors is a ratio of gamma functions, whole numbers or not', () => {
  fc.assert(
    fc.property(parameter, fc.integer({ min: 0, max: 60 }), (a, count) => {
      expect(logRisings(a, [count])).toBeCloseTo(logGamma(a + count) - logGamma(a), 8)
      expect(logRisings(a, [count + 0.5])).toBeCloseTo(logGamma(a + count + 0.5) - logGamma(a), 12)
    }),
  )
})
