import { describe, expect, test } from 'vitest'
import { Cases, canTellApart, type PlateEvidence } from '../../server/scoring/cases.ts'
import { successOfPeriod } from '../../server/scoring/success.ts'
import { sizeOfTies } from '../../server/scoring/ties.ts'

/** Five plates: two without failures, three with failed copies that may or may not have been this stage's fault. */
const plates: PlateEvidence[] = [
  { tried: 6, failures: [] },
  { tried: 5, failures: [{ passed: 0.3, failed: 0.7, copies: 1 }] },
  { tried: 8, failures: [{ passed: 0.8, failed: 0.2, copies: 3 }] },
  { tried: 3, failures: [] },
  { tried: 10, failures: [{ passed: 0.5, failed: 0.5, copies: 1 }] },
]

function success(rho: number, taken: number, weight = 1) {
  const cases = new Cases(taken, sizeOfTies(rho))
  for (const plate of plates) cases.addPlate(plate, weight)
  return successOfPeriod({ x: 0, y: 0, cases: cases.cases() }, { mu0: 0.85, k0: 10, k: 10, am: 8.5, bm: 1.5 })
}

describe('against quadrature of prior times likelihood (SciPy 1.17.1)', () => {
  test('copies each for themselves: exact', () => {
    const { mean, low, high } = success(0, 0.95)
    expect(mean).toBeCloseTo(0.9605852373804538, 5)
    expect(low).toBeCloseTo(0.9186176842844768, 4)
    expect(high).toBeCloseTo(0.9920807419496254, 4)
  })

  test('copies that share their fate: near', () => {
    const { mean, low, high } = success(0.1, 0.95)
    expect(mean).toBeCloseTo(0.9529075491041281, 2)
    expect(low).toBeCloseTo(0.9027845727247076, 2)
    expect(high).toBeCloseTo(0.9905313318652949, 2)
  })

  test('whatever the node was taken for', () => {
    for (const taken of [0.85, 0.9, 0.99]) {
      expect(success(0, taken).mean).toBeCloseTo(0.9605852373804538, 4)
      expect(Math.abs(success(0.1, taken).mean - 0.9529075491041281)).toBeLessThan(0.005)
    }
  })
})

test('what counts less says less', () => {
  const [whole, half] = [success(0, 0.95), success(0, 0.95, 0.5)]
  expect(half.high - half.low).toBeGreaterThan(whole.high - whole.low)
  expect(half.mean).toBeLessThan(whole.mean)
})

test('so few cases that they can be kept, none and one failure among them', () => {
  const cases = new Cases(0.9, sizeOfTies(0.1))
  for (let plate = 0; plate < 40; plate++) {
    cases.addPlate({ tried: 6, failures: [{ passed: 0.7, failed: 0.3, copies: 1 }] })
  }
  expect(cases.cases().length).toBeLessThanOrEqual(6)
  const [first] = new Cases(0.9, sizeOfTies(0.1)).cases()
  expect(first).toMatchObject({ x: 0, y: 0 })
})

test('plates with very many failures are left to the messages', () => {
  expect(canTellApart({ tried: 60, failures: [{ passed: 0.5, failed: 0.5, copies: 41 }] })).toBe(false)
  expect(plates.every(canTellApart)).toBe(true)
})
