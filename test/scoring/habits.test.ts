import { describe, expect, test } from 'vitest'
import { GroupFit } from '../../server/scoring/group-fit.ts'
import { MemberReading } from '../../server/scoring/habits.ts'
import { startingHyper } from '../../server/scoring/priors.ts'
import { Random } from '../../server/scoring/random.ts'
import type { Report } from '../../server/scoring/reports.ts'
import { simulate, usual, type WorldOptions } from '../study/worlds.ts'

/** A well-known file, a worn printer and a good one: what a fit might have made of them. */
const known = {
  hyper: startingHyper,
  supportSets: new Map([['hound', { group: 'Sedge', x: 600, y: 12, priorA: 8.5, priorB: 1.5 }]]),
  printerPeriods: new Map([
    ['attic/1', { x: 400, y: 220 }],
    ['shed/1', { x: 400, y: 30 }],
  ]),
  plates: { loose: { x: 0, y: 0 }, normal: { x: 400, y: 15 }, packed: { x: 0, y: 0 } },
}
const plate = (good: number, failures: Report['failures']): Report => ({
  ...{ supportSet: 'hound', group: 'Sedge', printerPeriod: 'attic/1', crowding: 'normal', good, failures },
})
const standing = (reports: readonly Report[]) => {
  const reading = new MemberReading(known)
  for (const report of reports) reading.add('Ada', report)
  const found = reading.standings().get('Ada')
  if (!found) throw new Error('nobody')
  return found
}
const times = (count: number, report: Report) => Array.from({ length: count }, () => report)

describe('on a worn printer with a file that others print well', () => {
  test('what points at the printer is no surprise', () => {
    const { surprise, weight } = standing([
      ...times(12, plate(3, [{ seen: 'nothing stuck to the plate', copies: 2 }])),
      ...times(3, plate(5, [])),
    ])
    expect(surprise).toBeLessThan(0)
    expect(weight).toBe(1)
  })

  test('saying file whatever it was is one', () => {
    const reports = [...times(12, plate(3, [{ seen: 'part had no support', copies: 2 }])), ...times(3, plate(5, []))]
    expect(standing(reports)).toMatchObject({ habit: 'says file whatever it was', weight: 0.5, reports: 15 })
  })

  test('not having seen why is none', () => {
    expect(standing(times(12, plate(3, [{ seen: "don't know", copies: 2 }]))).surprise).toBeLessThan(2)
  })

  test('leaving out plates that came out is one, though each report may be true', () => {
    const failed = { ...plate(5, [{ seen: "don't know", copies: 1 }]), printerPeriod: 'shed/1' }
    expect(standing(times(30, failed))).toMatchObject({ habit: 'leaves out plates that came out', weight: 0.5 })
  })
})

test('a ratio of chances is 1 on average where all reports are honest, so that it rarely is large', () => {
  // Counts only: one copy, which comes out or does not; labels are left out by "don't know".
  const ratio = (report: Report) => 10 ** standing([report]).surprise
  const [good, bad] = [ratio(plate(1, [])), ratio(plate(0, [{ seen: "don't know", copies: 1 }]))]
  const success = (608.5 / 622) * (409 / 630) * (419 / 435)
  // Nearly: each is judged without itself.
  expect(success * good + (1 - success) * bad).toBeCloseTo(1, 2)
})

test('on supports that nobody else has printed there is nobody to contradict', () => {
  const onlyFailures = (others: readonly string[]) => {
    const group = new GroupFit()
    const add = (memberId: string, index: number, report: Report) => {
      const names = { supportSet: `set ${index % 6}`, group: 'Sedge', printerPeriod: `${memberId}/${index % 3}` }
      group.add({ ...report, ...names, id: `${memberId} ${index}`, memberId })
    }
    for (let index = 0; index < 60; index++) {
      add('Faro', index, plate(5, [{ seen: "don't know", copies: 1 }]))
      for (const other of others) add(other, index, plate(6, []))
    }
    return group.fit().standings.get('Faro')
  }
  expect(onlyFailures([])).toMatchObject({ reports: 60, weight: 1 })
  expect(onlyFailures(['Ben'])).toMatchObject({ reports: 60, weight: 0.5, habit: 'leaves out plates that came out' })
})

describe('in simulated groups', () => {
  const doubted = (changes: Partial<WorldOptions>, seed: number) => {
    const options = { ...usual, sets: 100, sculptors: 20, members: 20, reports: 1000, worn: 0.2, ...changes }
    const world = simulate(options, new Random(seed))
    const group = new GroupFit()
    for (const report of world.reports) group.add(report)
    const isDoubted = ([, { weight }]: [string, { weight: number }]) => weight < 1
    return [...group.fit().standings].filter(isDoubted).map(([memberId]) => world.habitOf.get(memberId))
  }

  test('nobody honest is doubted', () => {
    expect([1, 2, 3].flatMap((seed) => doubted({}, seed))).toEqual([])
  })

  test('one who blames the file for everything is found', () => {
    const blaming = { habit: 'blames the file', habitual: 0.05, keenness: 3 } as const
    const found = [1, 2, 3, 4].flatMap((seed) => doubted(blaming, seed))
    expect(found.length).toBeGreaterThan(1)
    expect(new Set(found)).toEqual(new Set(['blames the file']))
  })
})
