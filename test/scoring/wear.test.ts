import betaln from '@stdlib/math-base-special-betaln'
import { describe, expect, test } from 'vitest'
import { meanOf } from '../../server/scoring/draws.ts'
import { fitGroup } from '../../server/scoring/fit.ts'
import { priors, type Shape } from '../../server/scoring/model.ts'
import { Random } from '../../server/scoring/random.ts'
import { changePoint } from '../../server/scoring/wear.ts'

type Count = readonly [passed: number, failed: number]

const repeat = (times: number, count: Count): Count[] => Array.from({ length: times }, () => count)

/** P(T) as it stands in SCORING, section 3: T plates before the wear, success before and after integrated out. */
function bySummation(plates: readonly Count[], inOrder: Shape, hazard: number): number[] {
  const logs = Array.from({ length: plates.length + 1 }, (_, change) => {
    const began = change < plates.length ? Math.log(hazard) : 0
    const before = marginal(plates.slice(0, change), inOrder)
    return began + change * Math.log1p(-hazard) + before + marginal(plates.slice(change), [4, 4])
  })
  const most = Math.max(...logs)
  const weights = logs.map((log) => Math.exp(log - most))
  const sum = weights.reduce((total, weight) => total + weight, 0)
  return weights.map((weight) => weight / sum)
}

function marginal(plates: readonly Count[], [a, b]: Shape): number {
  const [x, y] = plates.reduce(([good, bad], [passed, failed]) => [good + passed, bad + failed] as const, [
    0, 0,
  ] as Count)
  return betaln(a + x, b + y) - betaln(a, b)
}

/** With other periods' plates on either side, which are none of its business. */
function byEngine(plates: readonly Count[], inOrder: Shape, hazard: number): number[] {
  const all = [[3, 1] as const, ...plates, [0, 9] as const]
  const events = { passed: all.map(([passed]) => passed), failed: all.map(([, failed]) => failed) }
  const into = new Float64Array(plates.length + 1)
  changePoint(events, 1, 1 + plates.length, inOrder, hazard, into)
  return [...into]
}

describe('when the wear began', () => {
  const random = new Random(5)
  const anything = Array.from({ length: 40 }, (_, plate): Count => {
    const tried = Math.floor(9 * random.uniform())
    const failed = Math.floor((tried + 1) * random.uniform() ** (plate < 25 ? 4 : 1))
    return [tried - failed, failed]
  })

  test.each<[string, Count[], Shape, number]>([
    [
      '20 good plates of 10, then 6 of which all is bad',
      [...repeat(20, [10, 0]), ...repeat(6, [0, 10])],
      [19, 1],
      0.02,
    ],
    [
      '20 good plates of 10, then 6 with 6 bad ones each',
      [...repeat(20, [10, 0]), ...repeat(6, [4, 6])],
      [19, 1],
      0.02,
    ],
    ['bad from the first plate', repeat(8, [2, 8]), [19, 1], 0.02],
    ['nothing bad at all', repeat(30, [10, 0]), [30, 0.5], 0.05],
    ['anything', anything, [9, 1], 0.1],
    ['machines that fail as often as worn ones', anything, [4, 4], 0.01],
    ['one plate', [[3, 4]], [19, 1], 0.3],
    ['no copies', repeat(5, [0, 0]), [19, 1], 0.3],
    ['500 bad copies at once, on machines that never fail', [...repeat(4, [20, 0]), [0, 500]], [900, 0.5], 0.02],
    [
      '2,000 bad copies at once',
      [
        [5, 0],
        [0, 2000],
        [1000, 1000],
      ],
      [2000, 0.1],
      0.02,
    ],
    [
      '500 good ones after 500 bad ones',
      [
        [0, 500],
        [500, 0],
      ],
      [19, 1],
      0.02,
    ],
  ])('%s', (_, plates, inOrder, hazard) => {
    const expected = bySummation(plates, inOrder, hazard)
    byEngine(plates, inOrder, hazard).forEach((chance, change) => {
      expect(Math.abs(chance - (expected[change] ?? Number.NaN))).toBeLessThan(1e-9)
    })
  })

  test('the likeliest plate is the one that it began with', () => {
    const chances = byEngine([...repeat(20, [10, 0]), ...repeat(6, [4, 6])], [19, 1], 0.02)
    expect(chances.indexOf(Math.max(...chances))).toBe(20)
  })

  test('never, without a hazard', () => {
    expect(byEngine(repeat(3, [0, 10]), [19, 1], 0)).toEqual([0, 0, 0, 1])
  })
})

test('the hazard is learnt: plates after the wear began say nothing more of when it does', () => {
  // The same lines come out well on another machine, so that it is this one that got worse.
  const plates = ['attic', 'shed'].flatMap((period) =>
    Array.from({ length: 150 }, (_, day) => {
      const failed = period === 'attic' && day >= 6 ? 5 : 0
      const failures = [{ seen: 'nothing stuck to the plate', copies: failed }]
      const print = { line: `line ${day % 5}`, sculptor: 'Sedge', good: 10 - failed, failures }
      return { id: `${1000 + day}`, period, crowding: 'half empty' as const, day, prints: [print] }
    }),
  )
  const { group, worn } = fitGroup(plates, { sweeps: 400 })
  expect(worn[3]).toBeLessThan(0.2)
  expect(worn[8]).toBeGreaterThan(0.8)
  // Where it began with the seventh plate of the one, and not in 150 of the other.
  const [a, b] = [priors.hazard[0] + 1, priors.hazard[1] + 6 + 150]
  // Within four standard errors: 400 draws of sd .0046. Were the plates after the wear counted too, it would be .0028 less.
  expect(Math.abs(meanOf(group.hazard) - a / (a + b))).toBeLessThan(0.001)
})
