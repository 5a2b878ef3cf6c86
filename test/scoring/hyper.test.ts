import { describe, expect, test } from 'vitest'
import { bestShape, logMarginal } from '../../server/scoring/best-shape.ts'
import { parseCsv } from '../../server/scoring/command/csv.ts'
import { fitSeries, referenceText } from './reference.ts'

/** Tarone 1982, in Gelman et al., Bayesian Data Analysis, chapter 5: y of K rats with a tumour. */
const rats = parseCsv(referenceText('rat-tumours.csv'))
  .slice(1)
  .map(([y, all]) => ({ x: Number(y), y: Number(all) - Number(y) }))

describe('rat tumours', () => {
  test('71 groups, 267 of 1,739', () => {
    expect(rats).toHaveLength(71)
    expect(rats.reduce((sum, { x }) => sum + x, 0)).toBe(267)
    expect(rats.reduce((sum, { x, y }) => sum + x + y, 0)).toBe(1739)
  })

  test('maximum marginal likelihood as R finds it', () => {
    const shape = bestShape(rats, [1, 1], { penalised: false })
    expect(shape[0]).toBeCloseTo(2.3416, 3)
    expect(shape[1]).toBeCloseTo(14.1148, 2)
    expect(logMarginal(shape, rats)).toBeCloseTo(-730.33845, 5)
  })

  test('from a far-off start too', () => {
    expect(bestShape(rats, [200, 1], { penalised: false })[0]).toBeCloseTo(2.3416, 3)
  })

  test('the penalty pulls towards its middle, and rules without data', () => {
    const penalised = bestShape(rats, [9, 1])
    expect(penalised[0] / (penalised[0] + penalised[1])).toBeGreaterThan(2.3416 / (2.3416 + 14.1148))
    const [a, b] = bestShape([], [3, 3])
    expect(a).toBeCloseTo(9, 2)
    expect(b).toBeCloseTo(1, 3)
  })
})

test('held hyperparameters stay, others are learnt', () => {
  const start = { mu0: 0.7, k0: 8, k: 12, am: 5, bm: 1 }
  expect(fitSeries({ hold: true, hyper: start }).hyper).toEqual(start)
  const learnt = fitSeries({ hold: false, hyper: start, maxSweeps: 300 })
  expect(learnt.capped).toBe(false)
  const again = fitSeries({ hold: false, maxSweeps: 300 })
  for (const [name, value] of Object.entries(learnt.hyper)) {
    expect(value / again.hyper[name as keyof typeof start]).toBeCloseTo(1, 1)
  }
})
