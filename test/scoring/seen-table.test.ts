import { expect, test } from 'vitest'
import { convergenceOf } from '../../server/scoring/convergence.ts'
import { chancesBySet, tableOf } from '../../server/scoring/labels.ts'
import { layOut, PlateColumns } from '../../server/scoring/layout.ts'
import { Random } from '../../server/scoring/random.ts'
import { drawTable } from '../../server/scoring/seen-table.ts'
import { startingState } from '../../server/scoring/state.ts'

/** Two labels that tell file from machine; the plate shows either. */
const table = tableOf({ a: [0.75, 0.25, 0.5], b: [0.25, 0.75, 0.5] }, true)

function sample(failures: { seen: string; copies: number; cause: number }[], draws: number, begun?: number) {
  const prints = [{ line: 's', sculptor: 'g', good: 0, failures }]
  const plates = [{ id: 'p', period: 'm', crowding: 'packed' as const, day: 0, prints }]
  const layout = layOut(new PlateColumns(table.labels, plates))
  const random = new Random(8)
  const state = startingState(layout, table, random)
  state.failed.set(failures.flatMap(({ copies, cause }) => new Array<number>(copies).fill(cause)))
  if (begun !== undefined) state.blind = begun
  let [blind, aOfFile] = [0, 0]
  const blinds = new Float64Array(draws)
  for (let draw = 0; draw < draws; draw++) {
    drawTable(layout, state, table.byCause, random)
    blinds[draw] = state.blind
    blind += state.blind / draws
    aOfFile += (state.byCause[0] ?? 0) / draws
  }
  return { blind, blinds, aOfFile, state }
}

/**
 * The same by a sum over a grid: each look of a file's failure has the chance (1 - eps) M + eps / 2, M of label a is
 * Beta(11.25, 3.75) by SCORING's Dirichlet(15 M0), eps is Beta(2, 14).
 */
function onGrid(a: number, b: number) {
  let [all, blind, aOfFile] = [0, 0, 0]
  for (let eps = 0.0025; eps < 1; eps += 0.005) {
    for (let m = 0.0025; m < 1; m += 0.005) {
      const prior = eps * (1 - eps) ** 13 * m ** 10.25 * (1 - m) ** 2.75
      const weight = prior * ((1 - eps) * m + eps / 2) ** a * ((1 - eps) * (1 - m) + eps / 2) ** b
      all += weight
      blind += weight * eps
      aOfFile += weight * m
    }
  }
  return { blind: blind / all, aOfFile: aOfFile / all }
}

test.each([
  [40, 0],
  [5, 30],
  [0, 0],
])('the table and the share of blind looks, learnt from %d and %d copies that the file failed', (a, b) => {
  const exact = onGrid(a, b)
  const { blind, aOfFile } = sample(
    [
      { seen: 'a', copies: a, cause: 1 },
      { seen: 'b', copies: b, cause: 1 },
      { seen: "don't know", copies: 50, cause: 1 },
    ],
    60_000,
  )
  expect(blind).toBeCloseTo(exact.blind, 2)
  expect(aOfFile).toBeCloseTo(exact.aOfFile, 2)
})

test('a copy that failed at file and machine shows either: by a sum over eps and both rows', () => {
  let [all, aOfFile] = [0, 0]
  for (let eps = 0.01; eps < 1; eps += 0.02) {
    for (let file = 0.01; file < 1; file += 0.02) {
      for (let machine = 0.01; machine < 1; machine += 0.02) {
        const prior =
          eps * (1 - eps) ** 13 * file ** 10.25 * (1 - file) ** 2.75 * machine ** 2.75 * (1 - machine) ** 10.25
        const showsA = (1 - eps) * ((file + machine) / 2) + eps / 2
        const weight = prior * showsA ** 26 * (1 - showsA) ** 2
        all += weight
        aOfFile += weight * file
      }
    }
  }
  const failures = [
    { seen: 'a', copies: 26, cause: 3 },
    { seen: 'b', copies: 2, cause: 3 },
  ]
  expect(sample(failures, 60_000).aOfFile).toBeCloseTo(aOfFile / all, 2)
})

test('the chances by set follow the table', () => {
  const { state } = sample([{ seen: 'a', copies: 3, cause: 2 }], 1)
  const expected = new Float64Array(state.chancesOfSeen.length)
  chancesBySet(state.byCause, state.blind, expected)
  expect(state.chancesOfSeen).toEqual(expected)
})

test('of many looks the share of blind ones is not only right but found soon', () => {
  // 3,000 copies at each of two stages: noted as their stage has it nine times in ten, else as the other's.
  const failures = [
    { seen: 'a', copies: 2700, cause: 1 },
    { seen: 'b', copies: 300, cause: 1 },
    { seen: 'a', copies: 300, cause: 2 },
    { seen: 'b', copies: 2700, cause: 2 },
  ]
  const { blinds } = sample(failures, 4000)
  const { effectiveSize } = convergenceOf([blinds.subarray(0, 2000), blinds.subarray(2000)])
  // Some 130; drawn from the number of blind looks it was 5.
  expect(effectiveSize).toBeGreaterThan(60)
})

test.each([0, 1 / 8, 1])('from a share of %d of blind looks the way leads back', (begun) => {
  const { blind } = sample([{ seen: 'a', copies: 40, cause: 1 }], 20_000, begun)
  expect(blind).toBeCloseTo(onGrid(40, 0).blind, 1)
})
