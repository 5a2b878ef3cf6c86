import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { attemptsPerGood, badLuckFailures } from '../../server/scoring/cost.ts'
import { Random } from '../../server/scoring/random.ts'

/** Draws of a Beta, so many that their number hardly matters. */
function betaDraws(a: number, b: number, count = 40_000): Float64Array {
  const random = new Random(1)
  return Float64Array.from({ length: count }, () => random.beta(a, b))
}

describe('attempts per good copy', () => {
  test('mean of 1/p where the cap cannot matter: (a + b - 1)/(a - 1)', () => {
    expect(attemptsPerGood(betaDraws(100, 10))).toBeCloseTo(109 / 99, 3)
  })

  test('a certain chance is its reciprocal, a hopeless one is capped', () => {
    expect(attemptsPerGood(Float64Array.of(0.8, 0.8))).toBeCloseTo(1.25, 12)
    expect(attemptsPerGood(Float64Array.of(1e-6))).toBe(20)
  })

  test('lies between 1 and 20, and above the reciprocal of the mean (Jensen)', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: 0.05, max: 1, noNaN: true }), { minLength: 1 }), (draws) => {
        const attempts = attemptsPerGood(Float64Array.from(draws))
        const mean = draws.reduce((sum, p) => sum + p, 0) / draws.length
        expect(attempts).toBeGreaterThanOrEqual(1 / mean - 1e-9)
        expect(attempts).toBeLessThanOrEqual(20)
      }),
    )
  })
})

describe('bad luck: 50, 90 and 99 % of the beta-negative-binomial, R extraDistr', () => {
  test.each([
    [10, 8.5, 1.5, [1, 5, 12]],
    [20, 30, 10, [6, 12, 19]],
    [5, 3, 2, [3, 12, 35]],
    [40, 170, 30, [7, 11, 16]],
  ] as const)('N = %d, Beta(%d, %d)', (wanted, a, b, expected) => {
    const draws = betaDraws(a, b)
    expect([0.5, 0.9, 0.99].map((chance) => badLuckFailures(wanted, draws, chance))).toEqual(expected)
  })

  test('nothing wanted, nothing fails; a hopeless file ends at the limit; many copies do not underflow', () => {
    expect(badLuckFailures(0, Float64Array.of(0.5))).toBe(0)
    expect(badLuckFailures(50, Float64Array.of(1e-7))).toBe(100_000)
    expect(badLuckFailures(20_000, Float64Array.of(0.9))).toBeGreaterThan(2000)
  })
})
