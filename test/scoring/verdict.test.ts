import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { below, type Shape } from '../../server/scoring/beta.ts'
import { seen } from '../../server/scoring/labels.ts'
import { confounded, periodIsWorse, verdict } from '../../server/scoring/verdict.ts'

const fresh = { file: [8.5, 1.5], machine: [9, 1], plate: [19, 1] } satisfies Record<string, Shape>
const parameter = fc.double({ min: 0.1, max: 200, noNaN: true })
const shape = fc.tuple(parameter, parameter)
const failures = fc.array(fc.record({ seen: fc.constantFrom(...seen), copies: fc.integer({ min: 0, max: 9 }) }))

test('the shares of the blame add to one', () => {
  fc.assert(
    fc.property(failures, shape, shape, shape, (failed, file, machine, plate) => {
      const blame = verdict({ failures: failed, shapes: { file, machine, plate } })
      expect(blame.file + blame.machine + blame.plate).toBeCloseTo(1, 10)
      expect(Math.min(blame.file, blame.machine, blame.plate)).toBeGreaterThanOrEqual(0)
    }),
  )
})

test('one copy, by hand: independent stages that failed with chances .2, .1 and 0, nothing known', () => {
  const shapes = { file: [8, 2], machine: [9, 1], plate: [1e9, 1e-9] } satisfies Record<string, Shape>
  const blame = verdict({ failures: [{ seen: "don't know", copies: 1 }], shapes })
  const [onlyFile, onlyMachine, both] = [0.2 * 0.9, 0.8 * 0.1, 0.2 * 0.1]
  expect(blame.file).toBeCloseTo((onlyFile + both / 2) / (onlyFile + onlyMachine + both), 10)
  expect(blame.plate).toBeCloseTo(0, 8)
})

describe('advice', () => {
  test('missing supports point to the file', () => {
    const { file, advice } = verdict({ failures: [{ seen: 'part had no support', copies: 3 }], shapes: fresh })
    expect(file).toBeGreaterThan(0.9)
    expect(advice).toEqual([{ code: 'other supports or another file', share: file }])
  })

  test('nothing stuck on a poor printer: look at the printer', () => {
    const shapes = { ...fresh, machine: [6, 4] as const }
    const { machine, advice } = verdict({ failures: [{ seen: 'nothing stuck to the plate', copies: 6 }], shapes })
    expect(advice).toEqual([{ code: 'look at the printer', because: 'most of the blame', share: machine }])
  })

  test('a printer that was better before is to be looked at even when the file takes the blame', () => {
    const shapes = { ...fresh, machine: [12, 8] as const }
    const earlierPeriods: Shape[] = [[95, 5]]
    const failed = [{ seen: 'part had no support' as const, copies: 1 }]
    expect(verdict({ failures: failed, shapes, earlierPeriods }).advice).toMatchObject([
      { code: 'look at the printer', because: 'worse than before' },
      { code: 'other supports or another file' },
    ])
  })

  test('a poor plate: fewer copies', () => {
    const shapes = { ...fresh, file: [95, 5] as const, plate: [3, 7] as const }
    const { plate, advice } = verdict({ failures: [{ seen: 'stuck to the film', copies: 2 }], shapes })
    expect(advice).toEqual([{ code: 'fewer copies a plate', share: plate }])
  })

  test('a report without failures needs none', () => {
    expect(verdict({ failures: [], shapes: fresh, earlierPeriods: [[999, 1]] })).toEqual({
      file: 1 / 3,
      machine: 1 / 3,
      plate: 1 / 3,
      advice: [],
    })
  })

  test("says when the file can't be told from the printer", () => {
    const failed = [{ seen: "don't know" as const, copies: 5 }]
    const setEvidence = { copiesByPeriod: [9, 1], failures: failed }
    expect(verdict({ failures: failed, shapes: fresh, setEvidence }).advice).toContainEqual({
      code: "can't tell the file from that printer yet",
      copiesFromOnePeriod: 0.9,
      unknownFailures: 1,
    })
  })

  test('an unknown label is refused', () => {
    expect(() => verdict({ failures: [{ seen: 'toString' as 'soft detail', copies: 1 }], shapes: fresh })).toThrow(
      RangeError,
    )
  })
})

describe("file and printer can't be told apart", () => {
  const unknown = { seen: "don't know" as const, copies: 6 }
  const known = { seen: 'stuck to the film' as const, copies: 6 }
  test.each([
    ['exactly 80 % from one period is not over', [8, 2], [unknown], false],
    ['half of the failures known is not over half unknown', [9, 1], [unknown, known], false],
    ['no failures', [9], [], false],
    ['no copies', [], [unknown], false],
    ['all from one period, all unknown', [9], [unknown], true],
  ])('%s', (_, copiesByPeriod, failed, expected) => {
    expect(confounded({ copiesByPeriod, failures: failed }) !== undefined).toBe(expected)
  })
})

describe('a period is worse than another', () => {
  test('alike: one half', () => {
    expect(periodIsWorse([7, 3], [7, 3])).toBeCloseTo(0.5, 10)
  })

  test('one of the two is worse', () => {
    fc.assert(
      fc.property(shape, shape, (now, before) => {
        expect(periodIsWorse(now, before) + periodIsWorse(before, now)).toBeCloseTo(1, 1)
      }),
      { numRuns: 30 },
    )
  })

  test('against numerical integration', () => {
    const [now, before]: [Shape, Shape] = [
      [6, 3],
      [19, 2],
    ]
    let sum = 0
    for (let cell = 0; cell < 1000; cell++) {
      const at = (cell + 0.5) / 1000
      sum += below(now, at) * (below(before, (cell + 1) / 1000) - below(before, cell / 1000))
    }
    expect(periodIsWorse(now, before)).toBeCloseTo(sum, 3)
  })
})
