import { describe, expect, test } from 'vitest'
import { chancesBySet, type LabelTable, seen, seenLabels, tableOf } from '../../server/scoring/labels.ts'

test('eight things can be seen on a failed copy', () => {
  expect(seen).toEqual([
    'supports snapped',
    'part had no support',
    'nothing stuck to the plate',
    'one side of the plate only',
    'stuck to the film',
    'layers pulled apart',
    'soft detail',
    "don't know",
  ])
})

const { labels, byCause } = tableOf(seenLabels, true)

test("each cause's chances add up to 1", () => {
  for (const stage of [0, 1, 2]) {
    const sum = byCause.reduce((total, chance, at) => total + (at % 3 === stage ? chance : 0), 0)
    expect(sum).toBeCloseTo(1, 12)
  }
})

test('several failed stages show themselves equally often, and "don\'t know" says nothing', () => {
  const chances = new Float64Array(8 * (labels.length + 1))
  chancesBySet(byCause, 0, chances)
  const expected = [0, 0.4, 0.12, 0.26, 0.25, 0.325, 0.185, 0.77 / 3]
  expected.forEach((chance, failed) => {
    expect(chances[failed]).toBeCloseTo(chance, 12)
  })
  expect([...chances.subarray(8 * labels.length)]).toEqual(new Array(8).fill(1))
})

test('whatever failed, some label is shown', () => {
  const chances = new Float64Array(8 * (labels.length + 1))
  chancesBySet(byCause, 0.3, chances)
  for (let failed = 1; failed < 8; failed++) {
    const sum = labels.reduce((total, _, label) => total + (chances[8 * label + failed] ?? 0), 0)
    expect(sum).toBeCloseTo(1, 12)
  }
})

describe('a table that makes no sense is refused', () => {
  test.each([
    ['two numbers', [1, 1]],
    ['all nought', [0, 0, 0]],
    ['a negative chance', [1, -1, 1]],
    ['no number', [1, Number.NaN, 1]],
  ])('%s', (_, row) => {
    expect(() => tableOf({ odd: row } as unknown as LabelTable, false)).toThrow('label "odd"')
  })
})
