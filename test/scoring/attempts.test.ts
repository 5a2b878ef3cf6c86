import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { attemptsPerGood, badLuckFailures, expectedAttempts, productShape } from '../../server/scoring/attempts.ts'
import { mean, type Shape, secondMoment } from '../../server/scoring/beta.ts'

/** E[min(1/p, 20)] by the plain sum over logit p: another way than the code's, good to about 1e-9. */
function attemptsBySum([a, b]: Shape): number {
  let [norm, sum] = [0, 0]
  const reach = 40 / Math.min(a, b, 1)
  const step = reach / 40_000
  for (let logit = -reach; logit <= reach; logit += step) {
    const logP = -Math.log1p(Math.exp(-logit))
    const logQ = -Math.log1p(Math.exp(logit))
    const weight = Math.exp(a * logP + b * logQ)
    norm += weight
    sum += weight * Math.min(Math.exp(-logP), 20)
  }
  return sum / norm
}

describe('expected attempts', () => {
  test.each([
    [8.5, 1.5],
    [49, 1],
    [3, 7],
    [1.001, 2],
    [1, 1],
    [0.6, 0.9],
    [0.3, 4],
    [0.9, 0.05],
    [2, 40],
  ])('Beta(%d, %d) against a plain sum', (a, b) => {
    expect(expectedAttempts([a, b])).toBeCloseTo(attemptsBySum([a, b]), 4)
  })

  test('mean of 1/p where the cap cannot matter: (a + b - 1)/(a - 1)', () => {
    expect(expectedAttempts([100, 10])).toBeCloseTo(109 / 99, 10)
  })

  test('never below 1 or above 20 a stage, and the same from both sides of a = 1', () => {
    const parameter = fc.double({ min: 0.02, max: 300, noNaN: true })
    fc.assert(
      fc.property(parameter, parameter, (a, b) => {
        const attempts = expectedAttempts([a, b])
        expect(attempts).toBeGreaterThanOrEqual(1 - 1e-9)
        expect(attempts).toBeLessThanOrEqual(20 + 1e-9)
      }),
    )
    expect(expectedAttempts([1 + 1e-7, 2])).toBeCloseTo(expectedAttempts([1, 2]), 4)
  })

  test('stages multiply', () => {
    const shapes: Shape[] = [
      [8, 2],
      [9, 1],
      [19, 1],
    ]
    const product = shapes.map(expectedAttempts).reduce((a, b) => a * b, 1)
    expect(attemptsPerGood(shapes)).toBeCloseTo(product, 12)
    expect(attemptsPerGood([])).toBe(1)
  })
})

describe('bad luck: 50, 90 and 99 % of the beta-negative-binomial, R extraDistr', () => {
  test.each([
    [10, 8.5, 1.5, [1, 5, 12]],
    [20, 30, 10, [6, 12, 19]],
    [5, 3, 2, [3, 12, 35]],
    [40, 170, 30, [7, 11, 16]],
    [10, 2.2, 0.8, [2, 16, 63]],
    [1, 1.5, 0.5, [0, 2, 13]],
  ] as const)('N = %d, Beta(%d, %d)', (wanted, a, b, expected) => {
    expect([0.5, 0.9, 0.99].map((chance) => badLuckFailures(wanted, [[a, b]], chance))).toEqual(expected)
  })

  test('the product of stages keeps mean and second moment', () => {
    const shapes: Shape[] = [
      [8, 2],
      [9, 1],
      [19, 1],
    ]
    const product = productShape(shapes)
    expect(mean(product)).toBeCloseTo(0.8 * 0.9 * 0.95, 12)
    expect(secondMoment(product)).toBeCloseTo(
      shapes.map(secondMoment).reduce((a, b) => a * b, 1),
      12,
    )
  })

  test('nothing wanted, nothing fails; a hopeless file ends at the limit; many copies do not underflow', () => {
    expect(badLuckFailures(0, [[1, 1]])).toBe(0)
    expect(badLuckFailures(50, [[0.1, 3]])).toBe(100_000)
    expect(badLuckFailures(20_000, [[900, 100]])).toBeGreaterThan(2000)
  })
})
