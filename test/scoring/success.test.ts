import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { below, logBeta } from '../../server/scoring/beta.ts'
import { startingHyper, type Total } from '../../server/scoring/priors.ts'
import { medianMachine, successOfPeriod, successOfPlate, successOfSet } from '../../server/scoring/success.ts'

type Exact = { mean: number; below: (at: number) => number }

/** The set's law by a plain sum over 20,000 values of the sculptor's mean: another way than the code's grid. */
function exactSuccess(set: Total, others: readonly Total[], { mu0, k0, k } = startingHyper): Exact {
  const nodes = 20_000
  const logs = Array.from({ length: nodes }, (_, node) => {
    const mu = (node + 0.5) / nodes
    const [a, b] = [k * mu, k * (1 - mu)]
    const prior = (mu0 * k0 - 1) * Math.log(mu) + ((1 - mu0) * k0 - 1) * Math.log(1 - mu)
    return [set, ...others].reduce((sum, { x, y }) => sum + logBeta(a + x, b + y) - logBeta(a, b), prior)
  })
  const most = logs.reduce((a, b) => Math.max(a, b))
  const weights = logs.map((log) => Math.exp(log - most))
  const total = weights.reduce((a, b) => a + b)
  const average = (of: (mu: number) => number) =>
    weights.reduce((sum, weight, node) => sum + (weight < 1e-12 ? 0 : weight * of((node + 0.5) / nodes)), 0) / total
  const n = k + set.x + set.y
  return {
    mean: average((mu) => (k * mu + set.x) / n),
    below: (at) => average((mu) => below([k * mu + set.x, k * (1 - mu) + set.y], at)),
  }
}

const worlds: [name: string, set: Total, others: Total[]][] = [
  ['nobody has printed anything', { x: 0, y: 0 }, []],
  [
    'a new set of a good sculptor',
    { x: 0, y: 0 },
    [
      { x: 40, y: 1 },
      { x: 12, y: 0 },
    ],
  ],
  ['a new set of a poor sculptor', { x: 0, y: 0 }, [{ x: 3, y: 9 }]],
  [
    'a poor set of a good sculptor',
    { x: 2, y: 10 },
    [
      { x: 40, y: 1 },
      { x: 30, y: 2 },
      { x: 25, y: 0.5 },
    ],
  ],
  ['much evidence', { x: 300, y: 20 }, [{ x: 40, y: 1 }]],
  ['many other sets', { x: 4, y: 1 }, Array.from({ length: 40 }, (_, i) => ({ x: 5 + (i % 7), y: i % 3 }))],
]

describe('a support set, against a plain sum over the sculptor', () => {
  test.each(worlds)('%s', (_, set, others) => {
    const ours = successOfSet(set, others, startingHyper)
    const exact = exactSuccess(set, others)
    expect(ours.mean).toBeCloseTo(exact.mean, 4)
    expect(exact.below(ours.low)).toBeCloseTo(0.1, 3)
    expect(exact.below(ours.high)).toBeCloseTo(0.9, 3)
    expect(ours.copies).toBeCloseTo(set.x + set.y, 12)
  })
})

test('any set: ends in order around a sensible mean, whatever the hyperparameters', () => {
  const total = fc.record({
    x: fc.double({ min: -0.5, max: 2000, noNaN: true }),
    y: fc.double({ min: -0.5, max: 300, noNaN: true }),
  })
  const hyper = fc.record({
    mu0: fc.double({ min: 0.05, max: 0.99, noNaN: true }),
    k0: fc.double({ min: 0.5, max: 500, noNaN: true }),
    k: fc.double({ min: 0.5, max: 500, noNaN: true }),
    am: fc.constant(9),
    bm: fc.constant(1),
  })
  fc.assert(
    fc.property(total, fc.array(total, { maxLength: 8 }), hyper, (set, others, any) => {
      const { mean, low, high, copies } = successOfSet(set, others, any)
      expect(low).toBeGreaterThanOrEqual(0)
      expect(low).toBeLessThanOrEqual(high + 1e-9)
      expect(high).toBeLessThanOrEqual(1)
      expect(mean).toBeGreaterThan(0)
      expect(mean).toBeLessThanOrEqual(1)
      expect(copies).toBeGreaterThanOrEqual(0)
    }),
  )
})

test('a file without reports stands where its sculptor does: better after good sets, worse after poor ones', () => {
  const nothing = { x: 0, y: 0 }
  const unknown = successOfSet(nothing, [], startingHyper)
  expect(unknown.mean).toBeCloseTo(0.85, 6)
  expect(unknown.copies).toBe(0)
  expect(successOfSet(nothing, [{ x: 30, y: 0 }], startingHyper).mean).toBeGreaterThan(unknown.mean)
  expect(successOfSet(nothing, [{ x: 3, y: 3 }], startingHyper).mean).toBeLessThan(unknown.mean)
})

test('printers and plates are plain Betas', () => {
  expect(successOfPeriod({ x: 0, y: 0 }, startingHyper)).toMatchObject({ mean: 0.9, copies: 0, shape: [9, 1] })
  // R: qbeta(c(.1, .9), 19, 1), which is x^(1/19)
  const plate = successOfPlate('normal', { x: 0, y: 0 })
  expect(plate.low).toBeCloseTo(0.1 ** (1 / 19), 12)
  expect(plate.high).toBeCloseTo(0.9 ** (1 / 19), 12)
  expect(successOfPlate('packed', { x: 91, y: -0.01 }).copies).toBeCloseTo(90.99, 12)
})

test('the median machine is one of the group, or a fresh one', () => {
  const [worn, fair, good] = [
    { x: 5, y: 5 },
    { x: 30, y: 3 },
    { x: 90, y: 0 },
  ]
  expect(medianMachine([good, worn, fair], startingHyper)).toEqual([39, 4])
  expect(medianMachine([good, worn], startingHyper)).toEqual([14, 6])
  expect(medianMachine([], startingHyper)).toEqual([9, 1])
})
