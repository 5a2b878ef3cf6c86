import { describe, expect, test } from 'vitest'
import { judge } from '../study/judge.ts'
import { kendallTau } from '../study/measures.ts'
import { naiveRules, wilson } from '../study/naive.ts'
import { serviceName } from '../study/picking.ts'
import type { Setting } from '../study/settings.ts'
import { lead, saved } from '../study/table.ts'
import { usual } from '../study/worlds.ts'

describe("the study's own measures", () => {
  test("Kendall's tau-b", () => {
    // SciPy 1.17.1, stats.kendalltau; the first is its documentation's example, with ties
    expect(kendallTau([12, 2, 1, 12, 2], [1, 4, 7, 1, 0])).toBeCloseTo(-0.4714045207910316, 12)
    expect(kendallTau([3, 1, 4, 1, 5, 9, 2, 6], [2, 7, 1, 8, 2, 8, 1, 8])).toBeCloseTo(0.16051447078102563, 12)
    expect(kendallTau([1, 2, 3, 4, 5, 6], [2, 1, 4, 3, 6, 5])).toBeCloseTo(0.6, 12)
    expect(kendallTau([1, 1, 1], [1, 2, 3])).toBeNaN()
  })

  test("Wilson's interval", () => {
    // R: prop.test(4, 20, correct = FALSE), prop.test(0, 5, correct = FALSE); qnorm(.975)
    const z = 1.959963984540054
    expect(wilson(4, 20, z)[0]).toBeCloseTo(0.08066, 5)
    expect(wilson(4, 20, z)[1]).toBeCloseTo(0.41602, 5)
    expect(wilson(0, 5, z)[0]).toBeCloseTo(0, 12)
    expect(wilson(0, 5, z)[1]).toBeCloseTo(0.43448, 5)
  })
})

describe('a small part of the study, so that what it shows does not slide', () => {
  const options = { ...usual, sets: 200, sculptors: 40, members: 40, reports: 1200, worn: 0.1 }
  const setting: Setting = { name: 'small', asAssumed: false, options, groups: 4 }
  const outcome = judge(setting, { seed: 7, requests: 250 })

  test('intervals hold the truth about as often as they say', () => {
    const { supportSets, printerPeriods } = outcome.coverage
    expect(supportSets.value).toBeGreaterThan(0.74)
    expect(supportSets.value).toBeLessThan(0.84)
    expect(printerPeriods.value).toBeGreaterThan(0.74)
    expect(printerPeriods.value).toBeLessThan(0.9)
  })

  test('orders and picks are clearly better than by any naive rule', () => {
    expect(outcome.picks.size).toBe(1 + Object.keys(naiveRules).length)
    expect(outcome.picks.get(serviceName)?.tau.value).toBeGreaterThan(0.55)
    expect(lead(outcome)).toBeGreaterThan(0.07)
    expect(saved(outcome, 'attempts')).toBeGreaterThan(0.2)
    expect(saved(outcome, 'cost')).toBeGreaterThan(0.25)
  })

  test('the same seed gives the same', () => {
    const once = () => judge({ ...setting, groups: 1 }, { seed: 3, requests: 5 })
    expect(once()).toEqual(once())
  })
})
