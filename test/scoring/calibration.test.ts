import { describe, expect, test } from 'vitest'
import { calibrate, chiSquareOf } from '../study/calibration.ts'
import { jointTest } from '../study/joint-test.ts'

/** Of chi-square with 9 degrees of freedom, one in a thousand lies above. R: qchisq(.999, 9) */
const limit = 27.877

describe('groups drawn from the priors: the truth is one more draw of the posterior', () => {
  const draws = 59
  const ranks = calibrate({ groups: 120, plates: 40, draws, apart: 8, findingItsWay: 200, seed: 4 })

  test.each([...ranks])('%s', (_, list) => {
    expect(list).toHaveLength(120)
    expect(Math.min(...list)).toBeGreaterThanOrEqual(0)
    expect(Math.max(...list)).toBeLessThanOrEqual(draws)
    // Ten bins here, twenty over 400 groups in the study.
    expect(chiSquareOf(list, draws, 10)).toBeLessThan(limit)
    // The mean rank: 4 standard errors of a uniform one.
    const mean = list.reduce((sum, rank) => sum + rank / draws, 0) / list.length
    expect(Math.abs(mean - 0.5)).toBeLessThan(4 / Math.sqrt(12 * list.length))
  })
})

describe("Geweke's joint test of one sweep", () => {
  const differences = jointTest({ alone: 40_000, sweeps: 40_000, seed: 6 })

  test.each([...differences])('%s', (_, difference) => {
    // 46 quantities: one beyond 4 in 300 seeds.
    expect(Math.abs(difference)).toBeLessThan(4)
  })
})
