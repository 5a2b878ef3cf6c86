import betaln from '@stdlib/math-base-special-betaln'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { outlookOfPlates, spread } from '../../server/scoring/all-good.ts'
import { quantile, type Shape } from '../../server/scoring/beta.ts'
import { Random } from '../../server/scoring/random.ts'

const parameter = fc.double({ min: 0.3, max: 60, noNaN: true })
const shape = fc.tuple(parameter, parameter)

describe('every copy comes out', () => {
  test('of one uncertain stage with free copies: the beta-binomial chance of N of N, by the library', () => {
    fc.assert(
      fc.property(shape, fc.integer({ min: 1, max: 40 }), ([a, b], copies) => {
        const { allGood } = outlookOfPlates([copies], [[a, b]], 0)
        expect(allGood / Math.exp(betaln(a + copies, b) - betaln(a, b))).toBeCloseTo(1, 8)
      }),
    )
  })

  test('of a stage that is known, one plate: the beta-binomial of mean p and correlation rho', () => {
    // A Beta this sharp is a number; mean .8 and rho .1 are the beta-binomial of a = 7.2, b = 1.8.
    const sharp: Shape = [0.8e9, 0.2e9]
    for (const copies of [1, 2, 6, 20]) {
      const { allGood } = outlookOfPlates([copies], [sharp], 0.1)
      expect(allGood).toBeCloseTo(Math.exp(betaln(7.2 + copies, 1.8) - betaln(7.2, 1.8)), 6)
    }
  })

  test('of three stages: a plain sum over the middles of their slices', () => {
    const shapes: Shape[] = [
      [8.5, 1.5],
      [12, 2],
      [9, 1],
    ]
    for (const [plates, rho] of [
      [[6], 0.1],
      [[3, 3], 0.1],
      [[4, 1], 0.3],
      [[5], 0],
    ] as const) {
      expect(outlookOfPlates(plates, shapes, rho).allGood).toBeCloseTo(bySlices(plates, shapes, rho), 3)
    }
  })

  test('of three stages: what happens in two hundred thousand tries', () => {
    const shapes: Shape[] = [
      [8.5, 1.5],
      [12, 2],
      [9, 1],
    ]
    for (const plates of [[6], [3, 3]]) {
      const { allGood, expectedFailures } = outlookOfPlates(plates, shapes, 0.1)
      const found = byTrying(plates, shapes, 0.1, 200_000)
      // Three standard errors of a share of 200,000, and of a mean whose standard deviation is below 2.
      expect(Math.abs(found.allGood - allGood)).toBeLessThan(3 * Math.sqrt((allGood * (1 - allGood)) / 200_000))
      expect(Math.abs(found.failures - expectedFailures)).toBeLessThan((3 * 2) / Math.sqrt(200_000))
    }
  })

  test('shared fate: on one plate rather than two all come out more often, with as many failures', () => {
    const shapes: Shape[] = [
      [8.5, 1.5],
      [12, 2],
      [9, 1],
    ]
    const [one, two] = [outlookOfPlates([6], shapes), outlookOfPlates([3, 3], shapes)]
    expect(one.allGood).toBeGreaterThan(two.allGood)
    expect(one.expectedFailures).toBeCloseTo(two.expectedFailures, 12)
    expect(outlookOfPlates([6], shapes, 0).allGood).toBeCloseTo(outlookOfPlates([3, 3], shapes, 0).allGood, 12)
  })

  test('it is a chance, falls with every copy, and one copy is the mean', () => {
    fc.assert(
      fc.property(fc.tuple(shape, shape, shape), fc.integer({ min: 1, max: 60 }), (shapes, copies) => {
        const { allGood, expectedFailures } = outlookOfPlates([copies], shapes)
        expect(allGood).toBeGreaterThanOrEqual(0)
        expect(allGood).toBeLessThanOrEqual(1)
        expect(outlookOfPlates([copies + 1], shapes).allGood).toBeLessThanOrEqual(allGood + 1e-12)
        expect(expectedFailures).toBeLessThanOrEqual(copies)
        const one = outlookOfPlates([1], shapes)
        expect(one.allGood + one.expectedFailures).toBeCloseTo(1, 9)
      }),
    )
  })

  test('five hundred copies are still a number', () => {
    const { allGood } = outlookOfPlates(spread(500, 20), [
      [900, 3],
      [500, 1],
      [490, 10],
    ])
    expect(allGood).toBeGreaterThan(0)
    expect(allGood).toBeLessThan(0.1)
  })

  test.each([[[0]], [[1.5]], [[-1]], [[3, Number.NaN]]])('plates of %j copies are refused', (plates) => {
    expect(() => outlookOfPlates(plates, [[9, 1]])).toThrow(RangeError)
  })
})

test.each([
  [6, 1, [6]],
  [6, 2, [3, 3]],
  [7, 3, [3, 2, 2]],
  [2, 5, [1, 1]],
])('%d copies on %d plates are %j', (copies, plates, expected) => {
  expect(spread(copies, plates)).toEqual(expected)
})

/** Chance of all copies of one plate, straight from the beta-binomial. */
const ofPlate = (copies: number, p: number, rho: number) => {
  if (rho === 0) return p ** copies
  const [a, b] = [(p * (1 - rho)) / rho, ((1 - p) * (1 - rho)) / rho]
  return Math.exp(betaln(a + copies, b) - betaln(a, b))
}

/** The expectation over all three Betas, each cut into slices of equal chance. */
function bySlices(plates: readonly number[], shapes: readonly Shape[], rho: number): number {
  const slices = 40
  const middles = shapes.map((one) => Array.from({ length: slices }, (_, cut) => quantile(one, (cut + 0.5) / slices)))
  const [files = [], machines = [], crowdings = []] = middles
  let sum = 0
  for (const file of files)
    for (const machine of machines)
      for (const crowding of crowdings)
        sum += plates.reduce((product, copies) => product * ofPlate(copies, file * machine * crowding, rho), 1)
  return sum / slices ** 3
}

/** Prints it so many times: draws the stages, each plate's own success, and every copy. */
function byTrying(plates: readonly number[], shapes: readonly Shape[], rho: number, times: number) {
  const random = new Random(20)
  const draw = (a: number, b: number) => 1 / (1 + Math.exp(random.logGamma(b) - random.logGamma(a)))
  let [all, failures] = [0, 0]
  for (let time = 0; time < times; time++) {
    const p = shapes.reduce((product, [a, b]) => product * draw(a, b), 1)
    let failed = 0
    for (const copies of plates) {
      const own = draw((p * (1 - rho)) / rho, ((1 - p) * (1 - rho)) / rho)
      for (let copy = 0; copy < copies; copy++) if (random.uniform() > own) failed++
    }
    failures += failed
    if (failed === 0) all++
  }
  return { allGood: all / times, failures: failures / times }
}
