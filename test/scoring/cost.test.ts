import fc from 'fast-check'
import { expect, test } from 'vitest'
import { attemptsPerGood, type CostInput, costToTable, expectedCost } from '../../server/scoring/cost.ts'

const question: CostInput = {
  wanted: 10,
  priceMinor: 900,
  resinMlPerCopy: 12,
  densityGPerMl: 1.1,
  resinPricePerKgMinor: 3200,
  cleanUpPerFailedCopyMinor: 50,
  cleanUpPerFailedPlateMinor: 60,
  perPlateMinor: 100,
  copiesPerPlate: 4,
  snagMinutes: 20,
  timePerHourMinor: 180,
  success: Float64Array.of(0.8, 0.8),
  plateFails: 0.5,
}

test('price, resin, plates, failures and time for snags, by hand', () => {
  // 12 ml at 1.1 g/ml and 32.00 a kg: 42.24 a copy. Ten good ones: three plates; 2.5 copies fail on the way.
  expect(costToTable(question)).toMatchObject({
    priceMinor: 900,
    resinForGoodMinor: 422,
    platesMinor: 300,
    snagTimeMinor: 60,
    attemptsPerGood: 1.25,
    expectedFailures: 2.5,
    expectedPlates: 3.625,
    // 2.5 x (42.24 + 50 + 100 / 4), and 2.5 / (4 x .2 / .5) failed plates at 60.
    failuresMinor: Math.round(2.5 * 117.24 + (2.5 / 1.6) * 60),
  })
})

const money = fc.double({ min: 0, max: 1e5, noNaN: true })
const chance = fc.double({ min: 0.01, max: 1, noNaN: true })
const questions = fc.record({
  wanted: fc.integer({ min: 0, max: 60 }),
  priceMinor: money,
  resinMlPerCopy: fc.double({ min: 0, max: 500, noNaN: true }),
  densityGPerMl: fc.constant(1.1),
  resinPricePerKgMinor: money,
  cleanUpPerFailedCopyMinor: money,
  cleanUpPerFailedPlateMinor: fc.constant(0),
  perPlateMinor: money,
  copiesPerPlate: fc.integer({ min: 1, max: 30 }),
  snagMinutes: fc.integer({ min: 0, max: 600 }),
  timePerHourMinor: money,
  success: fc.array(chance, { minLength: 1, maxLength: 9 }).map((draws) => Float64Array.from(draws)),
  plateFails: chance,
})

test('terms are whole, none is negative, and they add up to the last cent', () => {
  fc.assert(
    fc.property(questions, (any) => {
      const cost = costToTable(any)
      const terms = [cost.priceMinor, cost.resinForGoodMinor, cost.platesMinor, cost.failuresMinor, cost.snagTimeMinor]
      expect(terms.every((term) => Number.isInteger(term) && term >= 0)).toBe(true)
      expect(terms.reduce((a, b) => a + b, 0)).toBe(cost.costToTableMinor)
      expect(cost.badLuckCostMinor).toBeGreaterThanOrEqual(cost.costToTableMinor)
      expect(cost).toMatchObject(expectedCost(any))
    }),
  )
})

test('failures are charged as many as are expected on the way to the good ones', () => {
  fc.assert(
    fc.property(questions, (any) => {
      const { expectedFailures, failuresMinor } = costToTable(any)
      expect(expectedFailures).toBeCloseTo(any.wanted * (attemptsPerGood(any.success) - 1), 9)
      const perCopy = (any.resinMlPerCopy * 1.1 * any.resinPricePerKgMinor) / 1000 + any.cleanUpPerFailedCopyMinor
      expect(failuresMinor).toBe(Math.round(expectedFailures * (perCopy + any.perPlateMinor / any.copiesPerPlate)))
    }),
  )
})

test('a file that comes out more often never costs more', () => {
  fc.assert(
    fc.property(questions, fc.double({ min: 0, max: 1, noNaN: true }), (any, share) => {
      const better = any.success.map((p) => p + share * (1 - p))
      expect(costToTable({ ...any, success: better }).failuresMinor).toBeLessThanOrEqual(costToTable(any).failuresMinor)
    }),
  )
})

test('numbers that make no sense are refused', () => {
  expect(() => costToTable({ ...question, wanted: 1.5 })).toThrow(RangeError)
  expect(() => costToTable({ ...question, priceMinor: -1 })).toThrow(RangeError)
  expect(() => costToTable({ ...question, resinMlPerCopy: Number.NaN })).toThrow(RangeError)
  expect(() => costToTable({ ...question, copiesPerPlate: 0 })).toThrow(RangeError)
})
