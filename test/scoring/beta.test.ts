import betaln from '@stdlib/math-base-special-betaln'
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
