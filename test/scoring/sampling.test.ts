import { describe, expect, test } from 'vitest'
import { fitReports } from '../../server/scoring/fit.ts'
import type { Report } from '../../server/scoring/reports.ts'
import type { Success } from '../../server/scoring/success.ts'
import { exactCases, fitCase } from './exact-cases.ts'
import { fitSeries, type Posterior, referenceJson, type SeriesPosterior } from './reference.ts'

/** In posterior standard deviations. The outside's own sampling error is .005 for means. */
const meanLimit = 0.02
const endLimit = 0.035

function expectNear(ours: Success | undefined, theirs: Posterior): void {
  if (!ours) throw new Error('not there')
  expect(Math.abs(ours.mean - theirs.mean) / theirs.sd).toBeLessThan(meanLimit)
  expect(Math.abs(ours.low - theirs.low) / theirs.sd).toBeLessThan(endLimit)
  expect(Math.abs(ours.high - theirs.high) / theirs.sd).toBeLessThan(endLimit)
}

describe('40 reports against JAGS, sampled', () => {
  const outside = referenceJson<SeriesPosterior>('series-a.posterior.json')
  const { supportSets, printerPeriods, plates, samples } = fitSeries().successes()

  test.each(Object.entries(outside.supportSets))('support set %s', (name, theirs) => {
    expectNear(supportSets.get(name), theirs)
  })
  test.each(Object.entries(outside.printerPeriods))('printer period %s', (name, theirs) => {
    expectNear(printerPeriods.get(name), theirs)
  })
  test.each(Object.entries(outside.plates))('%s plate', (name, theirs) => {
    expectNear(plates[name as keyof typeof plates], theirs)
  })
  test('thousands of samples', () => {
    expect(samples).toBeGreaterThan(10_000)
  })
})

describe('against exact enumeration, sampled: also where stages hang together', () => {
  const hard = exactCases.filter(({ name }) => / unknown$/.test(name))

  test.each(hard.map((one) => [one.name, one] as const))('%s', (_, one) => {
    const { supportSets, printerPeriods, plates } = fitCase(one).successes()
    const ours = { file: supportSets.get('s'), machine: printerPeriods.get('m'), plate: plates.normal }
    for (const stage of ['file', 'machine', 'plate'] as const) {
      const { mean, sd, q10, q90 } = one[stage]
      const success = ours[stage]
      expect(Math.abs((success?.mean ?? 9) - mean) / sd).toBeLessThan(0.04)
      expect(Math.abs((success?.low ?? 9) - q10) / sd).toBeLessThan(0.05)
      expect(Math.abs((success?.high ?? 9) - q90) / sd).toBeLessThan(0.05)
    }
  })

  test('there are such cases', () => {
    expect(hard.length).toBeGreaterThan(3)
  })
})

test('the same reports show the same numbers every time', () => {
  expect([...fitSeries().successes().supportSets]).toEqual([...fitSeries().successes().supportSets])
})

describe('is left out', () => {
  const report: Report = {
    supportSet: 's',
    group: 'g',
    printerPeriod: 'm',
    crowding: 'loose',
    good: 3,
    failures: [{ seen: 'soft detail', copies: 2 }],
  }

  test('where copies do not count in full', () => {
    expect(fitReports([report], { hold: true, rho: 0 }).successes().samples).toBeGreaterThan(0)
    expect(fitReports([report], { hold: true, rho: 0.1 }).successes().samples).toBe(0)
    expect(fitReports([{ ...report, fileWeight: 0.5 }], { hold: true, rho: 0 }).successes().samples).toBe(0)
  })

  test('where it would take long', () => {
    const many = Array.from({ length: 6000 }, (_, i) => ({ ...report, supportSet: `s${i % 900}` }))
    expect(fitReports(many, { hold: true, rho: 0 }).successes().samples).toBe(0)
  })

  test('on request; expectation propagation is not far', () => {
    const propagated = fitSeries({ sampling: false }).successes()
    expect(propagated.samples).toBe(0)
    for (const [name, { mean, low, high }] of fitSeries().successes().supportSets) {
      expect(propagated.supportSets.get(name)?.mean).toBeCloseTo(mean, 2)
      expect(propagated.supportSets.get(name)?.low).toBeCloseTo(low, 1)
      expect(propagated.supportSets.get(name)?.high).toBeCloseTo(high, 1)
    }
  })
})
