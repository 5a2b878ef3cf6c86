import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { mean } from '../../server/scoring/beta.ts'
import { type Fit, fitReports } from '../../server/scoring/fit.ts'
import { copyWeight, crowdings, platePriors } from '../../server/scoring/priors.ts'
import type { Report } from '../../server/scoring/reports.ts'
import { fitSeries, successIn } from './reference.ts'
import { anyReport, anyReports } from './worlds.ts'

const held = { hold: true, tolerance: 1e-5, maxSweeps: 500 }

function means(fit: Fit): Record<string, number> {
  const sets = [...fit.supportSets].map(([name, s]) => [name, mean([s.priorA + s.x, s.priorB + s.y])] as const)
  const periods = [...fit.printerPeriods].map(
    ([name, p]) => [name, mean([fit.hyper.am + p.x, fit.hyper.bm + p.y])] as const,
  )
  const plates = crowdings.map((name) => {
    const [a, b] = platePriors[name]
    return [name, mean([a + fit.plates[name].x, b + fit.plates[name].y])] as const
  })
  return Object.fromEntries([...sets, ...periods, ...plates])
}

function expectSame(one: Fit, other: Fit, within = 1e-3): void {
  const [ours, theirs] = [means(one), means(other)]
  expect(Object.keys(ours).toSorted()).toEqual(Object.keys(theirs).toSorted())
  for (const [name, value] of Object.entries(ours)) {
    expect(Math.abs(value - (theirs[name] ?? Number.NaN))).toBeLessThan(within)
  }
}

/** The reports with the messages that a fit has left, as they come back from storage. */
function withMessages(reports: readonly (Report & { id: string })[], fit: Fit): Report[] {
  const messages = new Map([...fit.sites()].map((site) => [`${site.reportId} ${site.seen}`, site.message]))
  return reports.map((report) => ({
    ...report,
    failures: report.failures.map((one) => ({ ...one, message: messages.get(`${report.id} ${one.seen}`) ?? null })),
  }))
}

describe('any group of reports', () => {
  test('comes to rest with proper distributions and counts every copy', () => {
    fc.assert(
      fc.property(anyReports, (reports) => {
        const fit = fitReports(reports, held)
        expect(fit.capped).toBe(false)
        for (const value of Object.values(means(fit))) {
          expect(value).toBeGreaterThan(0)
          expect(value).toBeLessThan(1)
        }
        const machines = [...fit.printerPeriods.values()].reduce((sum, { x, y }) => sum + x + y, 0)
        const copies = reports.reduce((sum, { good, failures, memberWeight = 1 }) => {
          const tried = failures.reduce((all, one) => all + one.copies, good)
          return sum + tried * memberWeight * copyWeight(Math.max(1, tried), 0.1)
        }, 0)
        expect(machines).toBeLessThanOrEqual(copies + 1e-9)
      }),
      { numRuns: 50 },
    )
  })

  test('is fitted the same in any order', () => {
    const shuffled = anyReports.chain((all) =>
      fc.tuple(fc.constant(all), fc.shuffledSubarray(all, { minLength: all.length })),
    )
    fc.assert(
      fc.property(shuffled, ([reports, other]) => {
        expectSame(fitReports(reports, held), fitReports(other, held))
      }),
      { numRuns: 50 },
    )
  })

  test('a warm start ends where a cold one does, and sooner', () => {
    fc.assert(
      fc.property(anyReports, (reports) => {
        const cold = fitReports(reports, held)
        const warm = fitReports(withMessages(reports, cold), held)
        expectSame(cold, warm)
        expect(warm.sweeps).toBeLessThanOrEqual(cold.sweeps)
      }),
      { numRuns: 50 },
    )
  })

  test('a report added, taken out and fitted anew leaves what never having had it leaves', () => {
    fc.assert(
      fc.property(anyReports, anyReport, (reports, extra) => {
        const never = fitReports(reports, held)
        const withExtra = fitReports([...reports, extra], held)
        expectSame(never, fitReports(withMessages(reports, withExtra), held))
      }),
      { numRuns: 50 },
    )
  })

  test('more good copies of a set never lower it', () => {
    fc.assert(
      fc.property(anyReports, fc.integer({ min: 1, max: 20 }), (reports, good) => {
        const [first] = reports
        if (!first) return
        const more: Report = { ...first, good, failures: [], fileWeight: 1 }
        const before = successIn(fitReports(reports, held), first.supportSet).mean
        expect(successIn(fitReports([...reports, more], held), first.supportSet).mean).toBeGreaterThan(before - 1e-3)
      }),
      { numRuns: 50 },
    )
  })
})

describe('weights', () => {
  const report: Report = {
    supportSet: 's',
    group: 'g',
    printerPeriod: 'm',
    crowding: 'loose',
    good: 10,
    failures: [],
  }

  test('good copies of one plate count less than as many plates', () => {
    const fit = fitReports([report], { hold: true, rho: 0.1 })
    expect(fit.printerPeriods.get('m')?.x).toBeCloseTo(10 / 1.9, 12)
    expect(fit.supportSets.get('s')?.x).toBeCloseTo(10 / 1.9, 12)
  })

  test('an older revision counts less for the file alone', () => {
    const fit = fitReports([{ ...report, fileWeight: 0.25 }], { hold: true, rho: 0 })
    expect(fit.printerPeriods.get('m')?.x).toBeCloseTo(10, 12)
    expect(fit.plates.loose.x).toBeCloseTo(10, 12)
    expect(fit.supportSets.get('s')?.x).toBeCloseTo(2.5, 12)
  })

  test("a member's weight counts for all three", () => {
    const fit = fitReports([{ ...report, fileWeight: 0.5, memberWeight: 0.25 }], { hold: true, rho: 0 })
    expect(fit.printerPeriods.get('m')?.x).toBeCloseTo(2.5, 12)
    expect(fit.plates.loose.x).toBeCloseTo(2.5, 12)
    expect(fit.supportSets.get('s')?.x).toBeCloseTo(1.25, 12)
  })

  test('copies nobody accounts for count as "don\'t know"', () => {
    const one = fitReports([{ ...report, tried: 14 }], held)
    const other = fitReports([{ ...report, failures: [{ seen: "don't know", copies: 4 }] }], held)
    expectSame(one, other, 1e-9)
  })

  test('a label that is given twice counts once with both', () => {
    const twice = [
      { seen: 'soft detail' as const, copies: 1 },
      { seen: 'soft detail' as const, copies: 2 },
    ]
    const one = fitReports([{ ...report, failures: twice }], held)
    expectSame(one, fitReports([{ ...report, failures: [{ seen: 'soft detail', copies: 3 }] }], held), 1e-9)
    expect([...one.sites()]).toHaveLength(1)
  })
})

test('sites come out one per report and label, with what puts them back', () => {
  const sites = [...fitSeries().sites()]
  expect(new Set(sites.map(({ reportId, seen }) => `${reportId} ${seen}`)).size).toBe(sites.length)
  expect(sites.every(({ message }) => message.length === 6 && message.every(Number.isFinite))).toBe(true)
})

test('says when the cap was hit', () => {
  expect(fitSeries({ maxSweeps: 2 })).toMatchObject({ capped: true, sweeps: 2 })
})

test('no reports at all fit too', () => {
  expect(fitReports([])).toMatchObject({ capped: false, supportSets: new Map() })
})

describe('a report that makes no sense is refused', () => {
  const good: Report = { supportSet: 's', group: 'g', printerPeriod: 'm', crowding: 'loose', good: 1, failures: [] }
  test.each([
    ['a negative count', { ...good, good: -1 }],
    ['no number', { ...good, good: Number.NaN }],
    ['a negative weight', { ...good, fileWeight: -1 }],
    ['an unknown label', { ...good, failures: [{ seen: 'constructor' as 'soft detail', copies: 1 }] }],
    ['an unknown crowding', { ...good, crowding: 'stacked' as 'packed' }],
  ])('%s', (_, report) => {
    expect(() => fitReports([report])).toThrow(RangeError)
  })

  test('a set in two groups', () => {
    expect(() => fitReports([good, { ...good, group: 'h' }])).toThrow('two groups')
  })
})
