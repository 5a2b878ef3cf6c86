import { describe, expect, test } from 'vitest'
import { eventShares, expectedEvents, logChanceOfPlate, sizeOfTies } from '../../server/scoring/ties.ts'

const size = sizeOfTies(0.1)

describe('copies that share their fate fall into events', () => {
  test('into as many as the Chinese restaurant has tables', () => {
    // Pitman, Combinatorial Stochastic Processes (2006), section 3.1: the sum of own / (own + i)
    expect(expectedEvents(1, 0.7, size)).toBe(1)
    expect(expectedEvents(3, 0.7, size)).toBeCloseTo(1 + 6.3 / 7.3 + 6.3 / 8.3, 12)
    expect(expectedEvents(2.5, 0.7, size)).toBeCloseTo(1 + 6.3 / 7.3 + (0.5 * 6.3) / 8.3, 12)
    const many = Array.from({ length: 500 }, (_, copy) => 6.3 / (6.3 + copy)).reduce((sum, one) => sum + one)
    expect(expectedEvents(500, 0.7, size)).toBeCloseTo(many, 3)
  })

  test('with the shares of the rising factorial: x (x + 1) (x + 2) (x + 3) = x^4 + 6 x^3 + 11 x^2 + 6 x', () => {
    // NIST Digital Library of Mathematical Functions, table 26.8.1 (Stirling numbers of the first kind)
    const x = size * 0.2
    const all = x * (x + 1) * (x + 2) * (x + 3)
    const expected = [0, 6 * x, 11 * x ** 2, 6 * x ** 3, x ** 4].map((term) => term / all)
    eventShares(4, 0.2, size).forEach((share, events) => {
      expect(share).toBeCloseTo(expected[events] ?? Number.NaN, 12)
    })
  })

  test('each into its own when they do not share it', () => {
    expect(expectedEvents(7, 0.3, sizeOfTies(0))).toBe(7)
    expect(eventShares(3, 0.3, sizeOfTies(0))).toEqual([0, 0, 0, 1])
  })
})

test('a plate is as likely as the beta-binomial says', () => {
  // SciPy 1.17.1: betabinom.pmf(k, 6, 9 p, 9 (1 - p))
  const chance = (passed: number, p: number) => Math.exp(logChanceOfPlate(passed, 6 - passed, p, size))
  expect(chance(3, 0.9) / chance(6, 0.9)).toBeCloseTo(0.034149477272727206 / 20 / 0.6058144125, 10)
  expect(chance(0, 0.2) / chance(6, 0.2)).toBeCloseTo(0.35012600839160757 / 0.0016768895104895105, 6)
})
