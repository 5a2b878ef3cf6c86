import { describe, expect, test } from 'vitest'
import { Random } from '../../server/scoring/random.ts'

function moments(draw: () => number, draws = 200_000): { mean: number; variance: number } {
  const values = Array.from({ length: draws }, draw)
  const mean = values.reduce((sum, value) => sum + value, 0) / draws
  return { mean, variance: values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / draws }
}

test('the same seed gives the same stream, another seed another', () => {
  const stream = (seed: number) => {
    const random = new Random(seed)
    return Array.from({ length: 20 }, () => random.normal())
  }
  expect(stream(7)).toEqual(stream(7))
  expect(stream(7)).not.toEqual(stream(8))
})

test('uniform: mean 1/2, variance 1/12, even over a hundred cells, never an end', () => {
  const random = new Random(1)
  const cells = new Array<number>(100).fill(0)
  const { mean, variance } = moments(() => {
    const value = random.uniform()
    expect(value > 0 && value < 1).toBe(true)
    const cell = Math.floor(100 * value)
    cells[cell] = (cells[cell] ?? 0) + 1
    return value
  })
  expect(mean).toBeCloseTo(1 / 2, 2)
  expect(variance).toBeCloseTo(1 / 12, 3)
  const chiSquare = cells.reduce((sum, count) => sum + (count - 2000) ** 2 / 2000, 0)
  // 99 degrees of freedom: one in a thousand below about 60, above about 149 (from memory)
  expect(chiSquare).toBeGreaterThan(60)
  expect(chiSquare).toBeLessThan(149)
})

test('normal: mean 0, variance 1', () => {
  const random = new Random(2)
  const { mean, variance } = moments(() => random.normal())
  expect(mean).toBeCloseTo(0, 1)
  expect(variance).toBeCloseTo(1, 1)
})

describe('gamma: mean and variance are both the shape', () => {
  test.each([0.05, 0.5, 1, 3.7, 250])('shape %d', (shape) => {
    const random = new Random(3)
    const { mean, variance } = moments(() => Math.exp(random.logGamma(shape)))
    expect(mean / shape).toBeCloseTo(1, 1)
    expect(variance / shape).toBeCloseTo(1, 1)
  })

  test('tiny shapes do not underflow', () => {
    const random = new Random(4)
    expect(Number.isFinite(random.logGamma(1e-6))).toBe(true)
  })
})

test('a place is drawn as often as it weighs, those beyond the count never', () => {
  const random = new Random(2)
  const counts = [0, 0, 0, 0]
  for (let draw = 0; draw < 100_000; draw++) {
    const index = random.index(Float64Array.of(0.2, 0, 1.2, 0.6, 5), 4)
    counts[index] = (counts[index] ?? 0) + 1
  }
  const [first = 0, second, third = 0, last = 0] = counts
  expect(second).toBe(0)
  // Within four standard errors: 4 sqrt(p (1 - p) / 100,000)
  expect(Math.abs(first / 1e5 - 0.1)).toBeLessThan(0.0038)
  expect(Math.abs(third / 1e5 - 0.6)).toBeLessThan(0.0062)
  expect(Math.abs(last / 1e5 - 0.3)).toBeLessThan(0.0058)
})

test('by slices: a normal of its own scale, and one that is far from the usual step', () => {
  const random = new Random(9)
  for (const [mean, sd] of [
    [2, 1],
    [-1, 0.05],
  ] as const) {
    let at = 0
    const moved = moments(() => {
      at = random.slice(at, (value) => -0.5 * ((value - mean) / sd) ** 2)
      return at
    })
    expect(Math.abs(moved.mean - mean)).toBeLessThan(0.02 * sd)
    expect(moved.variance / sd ** 2).toBeCloseTo(1, 1)
  }
})
