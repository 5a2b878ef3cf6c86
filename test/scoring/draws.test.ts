import { describe, expect, test } from 'vitest'
import {
  drawCount,
  drawsOf,
  meanOf,
  productOf,
  quantileOfSorted,
  quantised,
  summaryOf,
} from '../../server/scoring/draws.ts'
import {
  drawsOfMachineInOrder,
  drawsOfNewLine,
  drawsOfNewSculptor,
  groupDrawsBeforeReports,
  packGroupDraws,
  unpackGroupDraws,
} from '../../server/scoring/group-draws.ts'

describe('16 bits on the logit scale', () => {
  test.each([1e-6, 0.001, 0.2, 0.5, 0.85, 0.999, 1 - 1e-6])('%d comes back within a thousandth of its odds', (pass) => {
    const [back = Number.NaN] = drawsOf([quantised(pass, 1 - pass)])
    expect(Math.abs((back * (1 - pass)) / ((1 - back) * pass) - 1)).toBeLessThan(1 / 2048)
  })

  test('what is nearer to an end than they reach stays strictly inside', () => {
    const [low = 0, high = 1] = drawsOf([quantised(1e-300, 1), quantised(1, 1e-300)])
    expect(low).toBeGreaterThan(0)
    expect(high).toBeLessThan(1)
  })
})

test('quantiles as R has them', () => {
  // R 4.2.2: quantile(c(2, 3, 5, 7, 11, 13, 17), c(0, .1, .25, .5, .9, 1), type = 8)
  const sorted = Float64Array.of(2, 3, 5, 7, 11, 13, 17)
  const points = [0, 0.1, 0.25, 0.5, 0.9, 1].map((chance) => quantileOfSorted(sorted, chance))
  ;[2, 2.06666666667, 3.33333333333, 7, 16.7333333333, 17].forEach((point, at) => {
    expect(points[at]).toBeCloseTo(point, 9)
  })
  expect(summaryOf(Float64Array.of(17, 2, 5, 3, 13, 7, 11))).toMatchObject({
    mean: 58 / 7,
    low: points[1],
    high: points[4],
  })
})

describe('a group without reports', () => {
  const group = groupDrawsBeforeReports()

  test('stands where its priors do', () => {
    // Medians: .85, 10 and 10; a machine in order .95; the hazard's mean 1 / 41; blind looks 1 / 8. 400 draws tell the
    // middle to about sd / 16, so a quarter of a sd is four times that.
    const median = (row: Float64Array) => quantileOfSorted(row.toSorted(), 0.5)
    const logit = (p: number) => Math.log(p / (1 - p))
    expect(Math.abs(logit(median(group.mu0)) - logit(0.85)) / 0.5).toBeLessThan(0.25)
    expect(Math.abs(Math.log(median(group.k0) / 10)) / 0.8).toBeLessThan(0.25)
    expect(Math.abs(Math.log(median(group.k) / 10)) / 0.8).toBeLessThan(0.25)
    const inOrder = group.am.map((a, draw) => a / (a + (group.bm[draw] ?? 0)))
    expect(Math.abs(logit(median(inOrder)) - logit(0.95)) / 0.7).toBeLessThan(0.25)
    expect(Math.abs(meanOf(group.hazard) - 1 / 41)).toBeLessThan(0.006)
    expect(Math.abs(meanOf(group.blind) - 1 / 8)).toBeLessThan(0.02)
    expect(Math.abs(meanOf(group.plates.packed) - 0.9)).toBeLessThan(0.02)
  })

  test('is the same whenever it is asked for, and after it was stored', () => {
    expect(groupDrawsBeforeReports()).toEqual(group)
    const again = unpackGroupDraws(packGroupDraws(group), group.labels)
    expect(packGroupDraws(again)).toEqual(packGroupDraws(group))
    expect(again.mu0[7]).toBe(Math.fround(group.mu0[7] ?? 0))
    expect(() => unpackGroupDraws(new Float32Array(5), group.labels)).toThrow(RangeError)
  })

  test('knows of something new what its like are: mean and spread of the Betas', () => {
    const sculptor = drawsOfNewSculptor(group, 'Sedge')
    const line = drawsOfNewLine(group, sculptor, 'hound')
    expect(line).toHaveLength(drawCount)
    expect(Math.abs(meanOf(sculptor) - meanOf(group.mu0))).toBeLessThan(0.03)
    expect(Math.abs(meanOf(line) - meanOf(sculptor))).toBeLessThan(0.03)
    const spread = (row: Float64Array) => meanOf(row.map((value) => (value - meanOf(row)) ** 2))
    expect(spread(line)).toBeGreaterThan(spread(sculptor))
    const machine = drawsOfMachineInOrder(group)
    const expected = meanOf(group.am.map((a, draw) => a / (a + (group.bm[draw] ?? 0))))
    expect(Math.abs(meanOf(machine) - expected)).toBeLessThan(0.03)
  })

  test('names decide: the same gives the same draws, another others', () => {
    const sculptor = drawsOfNewSculptor(group, 'Sedge')
    expect(drawsOfNewSculptor(group, 'Sedge')).toEqual(sculptor)
    expect(drawsOfNewSculptor(group, 'Rush')).not.toEqual(sculptor)
    expect(drawsOfNewLine(group, sculptor, 'hound')).not.toEqual(drawsOfNewLine(group, sculptor, 'heron'))
  })
})

test('a copy passes all of its stages, draw by draw', () => {
  expect([...productOf(Float64Array.of(0.5, 1), Float64Array.of(0.5, 0.25), Float64Array.of(1, 0.5))]).toEqual([
    0.25, 0.125,
  ])
})
