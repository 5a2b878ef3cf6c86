import { describe, expect, test } from 'vitest'
import { fitReports } from '../../server/scoring/fit.ts'
import { chancesBySet, chancesOf, type LabelTable, seen, seenLabels } from '../../server/scoring/labels.ts'
import { asOutside, fitSeries, seriesLabels, seriesReports } from './reference.ts'

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

test('several failed stages show themselves equally often', () => {
  const chances = chancesBySet(seenLabels['supports snapped'])
  const expected = [0, 0.4, 0.12, 0.26, 0.25, 0.325, 0.185, 0.77 / 3]
  chances.forEach((chance, failed) => {
    expect(chance).toBeCloseTo(expected[failed] ?? Number.NaN, 12)
  })
})

test('only the ratios within a label matter', () => {
  const scaled = Object.fromEntries(Object.entries(seriesLabels).map(([label, row]) => [label, row.map((c) => 7 * c)]))
  const one = fitSeries().supportSets.get('S3')
  const other = fitReports(seriesReports, { ...asOutside, labels: scaled as unknown as LabelTable }).supportSets.get(
    'S3',
  )
  expect(other?.x).toBeCloseTo(one?.x ?? Number.NaN, 9)
  expect(other?.y).toBeCloseTo(one?.y ?? Number.NaN, 9)
})

describe('a table that makes no sense is refused', () => {
  test.each([
    ['two numbers', [1, 1]],
    ['all nought', [0, 0, 0]],
    ['a negative chance', [1, -1, 1]],
    ['no number', [1, Number.NaN, 1]],
  ])('%s', (_, row) => {
    expect(() => chancesOf({ odd: row } as unknown as LabelTable)).toThrow('label "odd"')
  })
})
