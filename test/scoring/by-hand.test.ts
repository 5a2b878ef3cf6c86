import { expect, test } from 'vitest'
import { chancesBySet, seenLabels, sizeOfSet, tableOf } from '../../server/scoring/labels.ts'
import { changePoint } from '../../server/scoring/wear.ts'

/** The two examples that server/scoring/README.md works out by hand. */

test('a copy that failed with its supports snapped: three quarters the file', () => {
  const { byCause } = tableOf(seenLabels, true)
  const chances = new Float64Array(64)
  chancesBySet(byCause, 0.125, chances)
  const fail = [0.15, 0.05, 0.05]
  const weights = [1, 2, 3, 4, 5, 6, 7].map((set) => {
    return fail.reduce((product, q, stage) => product * (set & (1 << stage) ? q : 1 - q), chances[set] ?? 0)
  })
  const byHand = [0.0498, 0.00496, 0.00175, 0.00955, 0.00215, 0.00038, 0.00009]
  for (const [index, weight] of weights.entries()) expect(weight).toBeCloseTo(byHand[index] ?? 0, 5)
  const total = weights.reduce((sum, weight) => sum + weight, 0)
  const share = (stage: number) =>
    weights.reduce((sum, weight, index) => {
      const set = index + 1
      return sum + (set & (1 << stage) ? weight / (sizeOfSet[set] ?? 1) : 0)
    }, 0) / total
  expect([0, 1, 2].map((stage) => Number(share(stage).toFixed(3)))).toEqual([0.754, 0.088, 0.158])
})

test('four plates of a printer: most likely worn since the last', () => {
  const weights = new Float64Array(5)
  changePoint({ passed: [1, 1, 1, 0], failed: [0, 0, 0, 2] }, 0, 4, [19, 1], 0.1, weights)
  const byHand = [0.00253, 0.00432, 0.00814, 0.01749, 0.00205]
  const total = byHand.reduce((sum, weight) => sum + weight, 0)
  for (const [index, weight] of weights.entries()) expect(weight).toBeCloseTo((byHand[index] ?? 0) / total, 3)
})
