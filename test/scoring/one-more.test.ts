import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type Fit, fitReports } from '../../server/scoring/fit.ts'
import {
  type Changes,
  type Neighbourhood,
  type SetNode,
  type StoredSite,
  weightsOf,
} from '../../server/scoring/neighbourhood.ts'
import { forget, learn } from '../../server/scoring/one-more.ts'
import { copyWeight, startingHyper, type Total } from '../../server/scoring/priors.ts'
import type { Report } from '../../server/scoring/reports.ts'
import { anyReport, anyReports } from './worlds.ts'

type Stored = Report & { id: string }
const held = { hold: true, tolerance: 1e-5, maxSweeps: 500 }

/** What the database would hold of all reports after a fit; a whole small group is one neighbourhood. */
function stored(reports: readonly Stored[], fit: Fit): Neighbourhood {
  const messages = new Map([...fit.sites()].map((site) => [`${site.reportId} ${site.seen}`, site.message]))
  const sites = reports.flatMap((report) =>
    report.failures.map(({ seen, copies }): StoredSite => {
      const { id, supportSet, printerPeriod, crowding, fileWeight = 1, memberWeight = 1 } = report
      const message = messages.get(`${id} ${seen}`) ?? null
      const tried = triedOf(report)
      return {
        ...{ reportId: id, seen, copies, tried, fileWeight, memberWeight },
        ...{ supportSet, printerPeriod, crowding, message },
      }
    }),
  )
  return { ...fit, sites }
}

function meanOf(set: SetNode | undefined): number {
  if (!set) throw new Error('the set is missing')
  return (set.priorA + set.x) / (set.priorA + set.x + set.priorB + set.y)
}

function periodMean(period: Total | undefined): number {
  if (!period) throw new Error('the period is missing')
  const { am, bm } = startingHyper
  return (am + period.x) / (am + period.x + bm + period.y)
}

function triedOf({ good, failures }: Report): number {
  return failures.reduce((sum, { copies }) => sum + copies, good)
}

/** Only what the report touches, as a query would load it. */
function around(all: Neighbourhood, { supportSet, printerPeriod, group }: Report): Neighbourhood {
  const sites = all.sites.filter((site) => site.supportSet === supportSet || site.printerPeriod === printerPeriod)
  const sets = new Set([supportSet, ...sites.map((site) => site.supportSet)])
  const periods = new Set([printerPeriod, ...sites.map((site) => site.printerPeriod)])
  return {
    ...all,
    sites,
    supportSets: new Map([...all.supportSets].filter(([name, set]) => sets.has(name) || set.group === group)),
    printerPeriods: new Map([...all.printerPeriods].filter(([name]) => periods.has(name))),
  }
}

function written(all: Neighbourhood, changes: Changes, gone?: string): Neighbourhood {
  const key = (site: StoredSite) => `${site.reportId} ${site.seen}`
  const sites = new Map([...all.sites, ...changes.sites].map((site) => [key(site), site]))
  return {
    ...all,
    supportSets: new Map([...all.supportSets, ...changes.supportSets]),
    printerPeriods: new Map([...all.printerPeriods, ...changes.printerPeriods]),
    sites: [...sites.values()].filter(({ reportId }) => reportId !== gone),
  }
}

/** Every total must be the good copies plus the sites' messages, whatever happened to it. */
function expectAccounted({ supportSets, printerPeriods, sites }: Neighbourhood, reports: readonly Stored[]): void {
  for (const [name, total] of supportSets) {
    const good = reports.filter((report) => report.supportSet === name)
    const own = sites.filter((site) => site.supportSet === name)
    const goodWorth = good.reduce(
      (sum, r) => sum + r.good * (r.fileWeight ?? 1) * (r.memberWeight ?? 1) * copyWeight(Math.max(1, triedOf(r)), 0.1),
      0,
    )
    const worth = (part: 0 | 1) =>
      own.reduce((sum, site) => sum + (site.message?.[part] ?? 0) * weightsOf(site, 0.1)[1], 0)
    expect(total.x).toBeCloseTo(goodWorth + worth(0), 8)
    expect(total.y).toBeCloseTo(worth(1), 8)
  }
  for (const [name, total] of printerPeriods) {
    const good = reports.filter((report) => report.printerPeriod === name)
    const own = sites.filter((site) => site.printerPeriod === name)
    const goodWorth = good.reduce(
      (sum, r) => sum + r.good * (r.memberWeight ?? 1) * copyWeight(Math.max(1, triedOf(r)), 0.1),
      0,
    )
    const worth = (part: 2 | 3) =>
      own.reduce((sum, site) => sum + (site.message?.[part] ?? 0) * weightsOf(site, 0.1)[0], 0)
    expect(total.x).toBeCloseTo(goodWorth + worth(2), 8)
    expect(total.y).toBeCloseTo(worth(3), 8)
  }
}

const world = fc.tuple(
  anyReports,
  anyReport.map((report) => ({ ...report, id: 'extra' })),
)

describe('one more report', () => {
  test('every copy stays accounted for through learning and forgetting', () => {
    fc.assert(
      fc.property(world, ([reports, extra]) => {
        const before = stored(reports, fitReports(reports, held))
        const after = written(before, learn(around(before, extra), extra))
        expectAccounted(after, [...reports, extra])
        expectAccounted(written(after, forget(around(after, extra), extra), 'extra'), reports)
      }),
      { numRuns: 60 },
    )
  })

  test('learnt and forgotten again, nothing is left of it but what three rounds leave', () => {
    fc.assert(
      fc.property(world, ([reports, extra]) => {
        const before = stored(reports, fitReports(reports, held))
        const learnt = written(before, learn(around(before, extra), extra))
        const after = written(learnt, forget(around(learnt, extra), extra), 'extra')
        for (const [name, set] of before.supportSets) {
          expect(Math.abs(meanOf(after.supportSets.get(name)) - meanOf(set))).toBeLessThan(0.005)
        }
        for (const [name, period] of before.printerPeriods) {
          expect(Math.abs(periodMean(after.printerPeriods.get(name)) - periodMean(period))).toBeLessThan(0.005)
        }
      }),
      { numRuns: 60 },
    )
  })

  // What is left is the plate, which learns in the full fit only.
  test('comes near to what the full fit makes of it', () => {
    fc.assert(
      fc.property(world, ([reports, extra]) => {
        const before = stored(reports, fitReports(reports, held))
        const learnt = written(before, learn(around(before, extra), extra))
        const full = fitReports([...reports, extra], held)
        const off = meanOf(learnt.supportSets.get(extra.supportSet)) - meanOf(full.supportSets.get(extra.supportSet))
        expect(Math.abs(off)).toBeLessThan(0.1)
      }),
      { numRuns: 60 },
    )
  })

  test('only what it touches changes', () => {
    const reports: Stored[] = [
      {
        id: '1',
        supportSet: 'A1',
        group: 'A',
        printerPeriod: 'attic',
        crowding: 'loose',
        good: 3,
        failures: [{ seen: "don't know", copies: 1 }],
      },
      {
        id: '2',
        supportSet: 'B1',
        group: 'B',
        printerPeriod: 'shed',
        crowding: 'loose',
        good: 3,
        failures: [{ seen: "don't know", copies: 1 }],
      },
      {
        id: '3',
        supportSet: 'A2',
        group: 'A',
        printerPeriod: 'loft',
        crowding: 'loose',
        good: 3,
        failures: [{ seen: "don't know", copies: 1 }],
      },
    ]
    const before = stored(reports, fitReports(reports, held))
    const extra: Stored = {
      id: '4',
      supportSet: 'A1',
      group: 'A',
      printerPeriod: 'attic',
      crowding: 'loose',
      good: 2,
      failures: [],
    }
    const changes = learn(around(before, extra), extra)
    expect([...changes.supportSets.keys()].toSorted()).toEqual(['A1', 'A2'])
    expect(changes.supportSets.get('A2')).toMatchObject({ x: before.supportSets.get('A2')?.x })
    expect([...changes.printerPeriods.keys()]).toEqual(['attic'])
    expect(changes.sites.map(({ reportId }) => reportId)).toEqual(['1'])
  })
})

describe('a report on what nobody has printed', () => {
  const empty: Neighbourhood = { ...stored([], fitReports([], held)), sites: [] }
  const first: Stored = {
    id: '1',
    supportSet: 's',
    group: 'g',
    printerPeriod: 'm',
    crowding: 'loose',
    good: 4,
    failures: [{ seen: 'soft detail', copies: 2 }],
  }

  test('makes its set and period, and forgetting leaves them empty', () => {
    const learnt = written(empty, learn(empty, first))
    expectAccounted(learnt, [first])
    expect(learnt.supportSets.get('s')?.group).toBe('g')
    const after = written(learnt, forget(learnt, first), '1')
    expect(after.supportSets.get('s')?.x).toBeCloseTo(0, 12)
    expect(after.printerPeriods.get('m')?.y).toBeCloseTo(0, 12)
    expect(after.sites).toEqual([])
  })

  test('learning it twice is refused, as is another group for a known set', () => {
    const learnt = written(empty, learn(empty, first))
    expect(() => learn(learnt, first)).toThrow('learnt already')
    expect(() => learn(learnt, { ...first, id: '2', group: 'h' })).toThrow('two groups')
  })
})
