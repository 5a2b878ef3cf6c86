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

test("every stage's chances add up to 1, and so do those of every set, blind looks among them", () => {
  const { byCause, labels } = tableOf(seenLabels, true)
  const chances = new Float64Array(8 * (labels.length + 1))
  chancesBySet(byCause, 0.2, chances)
  for (let set = 1; set < 8; set++) {
    const ofSet = labels.map((_, label) => chances[8 * label + set] ?? 0)
    expect(ofSet.reduce((sum, chance) => sum + chance, 0)).toBeCloseTo(1, 12)
  }
})

test('several failed stages show themselves equally often; a blind look shows anything; "don\'t know" tells nothing', () => {
  // Of SCORING's table: .40, .12 and .25 for snapped supports.
  const { byCause } = tableOf(seenLabels, true)
  const chances = new Float64Array(64)
  chancesBySet(byCause, 0, chances)
  ;[0.4, 0.12, 0.26, 0.25, 0.325, 0.185, 0.77 / 3].forEach((expected, at) => {
    expect(chances[at + 1]).toBeCloseTo(expected, 12)
  })
  chancesBySet(byCause, 0.14, chances)
  expect(chances[3]).toBeCloseTo(0.86 * 0.26 + 0.02, 12)
  expect([...chances.slice(57)]).toEqual(Array.from({ length: 7 }, () => 1))
})

test('a table that is held stays as it is, one that is learnt is scaled', () => {
  const rows = { odd: [1, 2, 3], even: [3, 2, 1], "don't know": [5, 5, 5] } as const
  expect(tableOf(rows, false)).toEqual({ labels: ['odd', 'even'], byCause: Float64Array.of(1, 2, 3, 3, 2, 1) })
  expect([...tableOf(rows, true).byCause]).toEqual([0.25, 0.5, 0.75, 0.75, 0.5, 0.25])
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

  test('a stage that shows nothing', () => {
    expect(() => tableOf({ odd: [1, 1, 0] }, true)).toThrow('every stage')
  })
})
