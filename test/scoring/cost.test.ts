import fc from 'fast-check'
import { expect, test } from 'vitest'
import { attemptsPerGood } from '../../server/scoring/attempts.ts'
import type { Shape } from '../../server/scoring/beta.ts'
import { type CostQuestion, costToTable } from '../../server/scoring/cost.ts'

const shapes: Shape[] = [
  [18, 2],
  [9, 1],
  [19, 1],
]
const question: CostQuestion = {
  wanted: 10,
  priceMinor: 900,
  resinMlPerCopy: 12,
  densityGPerMl: 1.1,
  resinPricePerKgMinor: 3200,
  cleanUpPerFailedCopyMinor: 50,
  snagMinutes: 20,
  timePerHourMinor: 180,
  shapes,
}

test('price, resin, failures and time for snags, by hand', () => {
  const perCopy = 12 * 1.1 * 3.2
  const cost = costToTable(question)
  expect(cost).toMatchObject({ priceMinor: 900, resinForGoodMinor: Math.round(10 * perCopy), snagTimeMinor: 60 })
  expect(cost.failuresMinor).toBe(Math.round(10 * (attemptsPerGood(shapes) - 1) * (perCopy + 50)))
  expect(cost.badLuckCostMinor).toBe(900 + 422 + 60 + Math.round(cost.badLuckFailures * (perCopy + 50)))
})

const money = fc.double({ min: 0, max: 1e5, noNaN: true })
const parameter = fc.double({ min: 0.1, max: 200, noNaN: true })
const questions = fc.record({
  wanted: fc.integer({ min: 0, max: 60 }),
  priceMinor: money,
  resinMlPerCopy: fc.double({ min: 0, max: 500, noNaN: true }),
  densityGPerMl: fc.constant(1.1),
  resinPricePerKgMinor: money,
  cleanUpPerFailedCopyMinor: money,
  snagMinutes: fc.integer({ min: 0, max: 600 }),
  timePerHourMinor: money,
  shapes: fc.array(fc.tuple(parameter, parameter), { minLength: 1, maxLength: 3 }),
})

test('terms are whole, none is negative, and they add up to the last cent', () => {
  fc.assert(
    fc.property(questions, (any) => {
      const cost = costToTable(any)
      const terms = [cost.priceMinor, cost.resinForGoodMinor, cost.failuresMinor, cost.snagTimeMinor]
      expect(terms.every((term) => Number.isInteger(term) && term >= 0)).toBe(true)
      expect(terms.reduce((a, b) => a + b, 0)).toBe(cost.costToTableMinor)
      expect(cost.badLuckCostMinor).toBeGreaterThanOrEqual(cost.costToTableMinor - cost.failuresMinor)
    }),
  )
})

test('a better file never costs more', () => {
  fc.assert(
    fc.property(questions, fc.double({ min: 0, max: 30, noNaN: true }), (any, more) => {
      const better = any.shapes.map(([a, b], stage): Shape => (stage === 0 ? [a + more, b] : [a, b]))
      expect(costToTable({ ...any, shapes: better }).failuresMinor).toBeLessThanOrEqual(costToTable(any).failuresMinor)
    }),
  )
})

test('numbers that make no sense are refused', () => {
  expect(() => costToTable({ ...question, wanted: 1.5 })).toThrow(RangeError)
  expect(() => costToTable({ ...question, priceMinor: -1 })).toThrow(RangeError)
  expect(() => costToTable({ ...question, resinMlPerCopy: Number.NaN })).toThrow(RangeError)
})
