import betainc from '@stdlib/math-base-special-betainc'
import betaln from '@stdlib/math-base-special-betaln'
import betaQuantile from '@stdlib/stats-base-dists-beta-quantile'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  above,
  below,
  logBeta,
  mean,
  quantile,
  secondMoment,
  shapeOfMoments,
  variance,
} from '../../server/scoring/beta.ts'
import { referenceText } from './reference.ts'

/** a, b, then the .001, .1, .5, .9 and .999 points by R 4.2.2 qbeta. */
const table = referenceText('qbeta.txt')
  .trim()
  .split('\n')
  .map((line) => line.trim().split(/\s+/).map(Number))
const chances = [0.001, 0.1, 0.5, 0.9, 0.999]

const parameter = fc.double({ min: 0.05, max: 500, noNaN: true })

describe('quantiles against R', () => {
  test.each(table)('Beta(%d, %d)', (a, b, ...points) => {
    points.forEach((point, index) => {
      const ours = quantile([a, b], chances[index] ?? Number.NaN)
      expect(Math.abs(ours - point)).toBeLessThanOrEqual(1e-12 + 1e-9 * point)
    })
  })

  test('all fifty points of the table are there', () => {
    expect(table.flatMap((row) => row.slice(2))).toHaveLength(50)
  })
})

const point = fc.double({ min: 1e-6, max: 1 - 1e-6, noNaN: true })

test('chances on either side agree with the library', () => {
  fc.assert(
    fc.property(parameter, parameter, point, (a, b, at) => {
      const [lower, upper] = [betainc(at, a, b), betainc(at, a, b, true, true)]
      expect(Math.abs(below([a, b], at) - lower)).toBeLessThanOrEqual(1e-12 + 1e-9 * lower)
      expect(Math.abs(above([a, b], at) - upper)).toBeLessThanOrEqual(1e-12 + 1e-9 * upper)
    }),
  )
})

test('small chances keep their precision', () => {
  fc.assert(
    fc.property(parameter, parameter, point, (a, b, at) => {
      const lower = betainc(at, a, b)
      if (lower > 1e-200) expect(below([a, b], at) / lower).toBeCloseTo(1, 8)
      const upper = betainc(at, a, b, true, true)
      if (upper > 1e-200) expect(above([a, b], at) / upper).toBeCloseTo(1, 8)
    }),
  )
})

test('quantiles agree with the library', () => {
  fc.assert(
    fc.property(parameter, parameter, fc.double({ min: 0.001, max: 0.999, noNaN: true }), (a, b, chance) => {
      const theirs = betaQuantile(chance, a, b)
      expect(Math.abs(quantile([a, b], chance) - theirs)).toBeLessThanOrEqual(1e-12 + 1e-8 * theirs)
    }),
  )
})

test('quantiles of laws with all their weight at the ends, and with a lot of evidence', () => {
  for (const shape of [
    [0.02, 0.02],
    [0.02, 30],
    [30, 0.02],
    [1e-9, 5],
    [5, 1e-9],
    [2e5, 300],
    [300, 2e5],
  ] as const) {
    for (const chance of [0.001, 0.1, 0.5, 0.9, 0.999]) {
      const found = quantile(shape, chance)
      expect(found).toBeGreaterThanOrEqual(0)
      expect(found).toBeLessThanOrEqual(1)
      if (found > 1e-300 && found < 1 - 1e-12) expect(below(shape, found)).toBeCloseTo(chance, 9)
    }
  }
})

test('the ends of the scale', () => {
  expect([below([2, 3], 0), below([2, 3], 1), above([2, 3], 0), above([2, 3], 1)]).toEqual([0, 1, 1, 0])
  expect([quantile([2, 3], 0), quantile([2, 3], 1)]).toEqual([0, 1])
})

test('log beta agrees with the library', () => {
  fc.assert(
    fc.property(parameter, parameter, (a, b) => {
      expect(Math.abs(logBeta(a, b) - betaln(a, b))).toBeLessThanOrEqual(1e-11 * (1 + Math.abs(betaln(a, b))) + 1e-10)
    }),
  )
})

test('a shape is found again from its moments', () => {
  fc.assert(
    fc.property(parameter, parameter, (a, b) => {
      const [foundA, foundB] = shapeOfMoments(mean([a, b]), secondMoment([a, b]))
      expect(foundA / a).toBeCloseTo(1, 6)
      expect(foundB / b).toBeCloseTo(1, 6)
      expect(secondMoment([a, b]) - mean([a, b]) ** 2).toBeCloseTo(variance([a, b]), 12)
    }),
  )
})

test('moments that no Beta has are refused', () => {
  expect(() => shapeOfMoments(0.5, 0.25)).toThrow(RangeError)
  expect(() => shapeOfMoments(0.5, 0.5)).toThrow(RangeError)
  expect(() => shapeOfMoments(1, 1)).toThrow(RangeError)
  expect(() => shapeOfMoments(Number.NaN, 0.3)).toThrow(RangeError)
})

test('below and above add to one', () => {
  fc.assert(
    fc.property(parameter, parameter, fc.double({ min: 0.01, max: 0.99, noNaN: true }), (a, b, at) => {
      expect(below([a, b], at) + above([a, b], at)).toBeCloseTo(1, 10)
    }),
  )
})
