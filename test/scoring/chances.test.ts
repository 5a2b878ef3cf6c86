import betaln from '@stdlib/math-base-special-betaln'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { chancesOf, machineOnNextPlate, type Stages, spread } from '../../server/scoring/chances.ts'
import { meanOf } from '../../server/scoring/draws.ts'
import { emptyGroupDraws } from '../../server/scoring/group-draws.ts'
import { tieOf } from '../../server/scoring/model.ts'

type Sure = { file?: number; machine?: number; plate?: number; rho?: number; hazard?: number }

/** Stages that are known for certain, copies hanging together by rho at the machine's stage alone. */
function sure({ file = 1, machine = 1, plate = 1, rho = 0, hazard = 0 }: Sure): Stages {
  const group = emptyGroupDraws([], 400)
  group.ties[1].fill(tieOf(rho))
  group.plates.packed.fill(plate)
  group.hazard.fill(hazard)
  const row = (chance: number) => new Float64Array(400).fill(chance)
  return { file: row(file), machine: row(machine), group, crowding: 'packed' }
}

describe('every copy comes out', () => {
  test('free copies: the product', () => {
    const { allGood, expectedFailures } = chancesOf(sure({ file: 0.9, machine: 0.95, plate: 0.98 }), [3, 2])
    expect(allGood).toBeCloseTo((0.9 * 0.95 * 0.98) ** 5, 10)
    expect(expectedFailures).toBeCloseTo(5 * (1 - 0.9 * 0.95 * 0.98), 10)
  })

  test('an urn: the beta-binomial chance of n of n, by the library', () => {
    const chance = fc.double({ min: 0.05, max: 0.95, noNaN: true })
    fc.assert(
      fc.property(
        chance,
        fc.double({ min: 0.01, max: 0.9, noNaN: true }),
        fc.integer({ min: 1, max: 30 }),
        (p, rho, n) => {
          const size = (1 - rho) / rho
          const expected = Math.exp(betaln(size * p + n, size * (1 - p)) - betaln(size * p, size * (1 - p)))
          expect(chancesOf(sure({ machine: p, rho }), [n]).allGood).toBeCloseTo(expected, 9)
        },
      ),
      { numRuns: 50 },
    )
  })

  test('what hangs together on one plate is safer than on many, and fails as often', () => {
    const stages = sure({ machine: 0.8, rho: 0.5 })
    const [one, many] = [chancesOf(stages, [6]), chancesOf(stages, [2, 2, 2])]
    expect(one.allGood).toBeGreaterThan(many.allGood)
    expect(one.expectedFailures).toBeCloseTo(many.expectedFailures, 12)
  })

  test('a plate has a whole number of copies', () => {
    expect(() => chancesOf(sure({}), [2, 0])).toThrow(RangeError)
    expect(() => chancesOf(sure({}), [1.5])).toThrow(RangeError)
  })
})

describe('copies to print to have so many good ones in 9 cases of 10', () => {
  // Three failures each, by the negative binomial's sum up to three: .9375, .9437, .9658; up to two: .875, .8520, .8891.
  test.each([
    [1, 0.5, 4],
    [5, 0.8, 8],
    [10, 0.9, 13],
  ])('%d good at %d: %d', (wanted, p, expected) => {
    expect(chancesOf(sure({ file: p }), [wanted]).toPrint).toBe(expected)
  })

  test('as many as wanted where nothing fails', () => {
    expect(chancesOf(sure({}), [4, 4]).toPrint).toBe(8)
  })
})

test('on its next plate a machine begins to be worn as often as the hazard says', () => {
  const { machine, group } = sure({ machine: 1, hazard: 0.25 })
  const next = machineOnNextPlate(machine, group)
  const worn = next.filter((p) => p < 1)
  expect(worn.length / next.length).toBeGreaterThan(0.18)
  expect(worn.length / next.length).toBeLessThan(0.32)
  // As good as Beta(4, 4) has a worn one.
  expect(meanOf(worn)).toBeCloseTo(1 / 2, 1)
})

test('copies spread over plates as evenly as they go', () => {
  expect(spread(7, 3)).toEqual([3, 2, 2])
  expect(spread(2, 3)).toEqual([1, 1])
})
