import { describe, expect, test } from 'vitest'
import { blameOfPlate, type JudgedPlate } from '../../server/scoring/blame.ts'
import { drawsOf, keptOf } from '../../server/scoring/draws.ts'
import { fitGroup } from '../../server/scoring/fit.ts'
import { emptyGroupDraws, groupDrawsBeforeReports } from '../../server/scoring/group-draws.ts'
import { seenLabels, tableOf } from '../../server/scoring/labels.ts'
import { tieOf } from '../../server/scoring/model.ts'
import type { Plate } from '../../server/scoring/plates.ts'

const count = 400
const row = (chance: number) => new Float64Array(count).fill(chance)
const seen = (label: string, copies: number) => [{ seen: label, copies }]

/** Everything known for certain: nobody notes blindly, nothing wears, copies hang together by rho at the machine's stage. */
function sure({ file = 0.85, machine = 0.95, plate = 0.95, rho = 0, blind = 0 }): Omit<JudgedPlate, 'prints'> & {
  file: Float64Array
} {
  const { labels, byCause } = tableOf(seenLabels, true)
  const group = emptyGroupDraws(labels, count)
  group.blind.fill(blind)
  group.ties[1].fill(tieOf(rho))
  group.plates.packed.fill(plate)
  for (let draw = 0; draw < count; draw++) group.byCause.set(byCause, draw * byCause.length)
  return { crowding: 'packed', machine: row(machine), group, file: row(file) }
}

describe('everything known', () => {
  test("one copy, the example of the scoring's README", () => {
    const { file, ...plate } = sure({ blind: 0.125 })
    const prints = [{ file, good: 0, failures: seen('supports snapped', 1) }]
    const { plate: blame } = blameOfPlate({ ...plate, prints })
    expect(blame?.file).toBeCloseTo(0.754, 1)
    expect(blame?.machine).toBeCloseTo(0.088, 1)
    expect((blame?.file ?? 0) + (blame?.machine ?? 0) + (blame?.plate ?? 0)).toBeCloseTo(1, 10)
  })

  test('many that failed together, against the sum over both ways by hand', () => {
    // File and plate never fail, or always, and labels say nothing: five of six failed at the machine or not at all.
    const { file, ...plate } = sure({ file: 0.5, machine: 0.5, plate: 1, rho: 0.5 })
    const prints = [{ file, good: 0, failures: seen("don't know", 2) }]
    const { plate: blame } = blameOfPlate({ ...plate, prints })
    // By stage: P(both fail) = 1/4 for free copies, 1/2 x 3/4 = 3/8 for tied ones; one of them 1/8; neither 3/8.
    const both = { file: 1 / 4, machine: 3 / 8 }
    const one = { file: 1 / 4, machine: 1 / 8 }
    const neither = { machine: 3 / 8 }
    // Every copy failed: the file failed where the machine did not. Shares of file over the two copies:
    const weights = [
      { weight: both.file * both.machine, share: 1 },
      { weight: 2 * one.file * both.machine, share: 0.5 },
      { weight: one.file * both.machine, share: 0 },
      { weight: 2 * both.file * one.machine, share: 1.5 },
      { weight: 2 * one.file * one.machine, share: 1 },
      { weight: both.file * neither.machine, share: 2 },
    ]
    const total = weights.reduce((sum, { weight }) => sum + weight, 0)
    const share = weights.reduce((sum, way) => sum + way.weight * way.share, 0) / (2 * total)
    expect(blame?.file).toBeCloseTo(share, 1)
  })
})

test('each print has its own share, and what did not fail has none', () => {
  const { file, ...plate } = sure({})
  const { prints } = blameOfPlate({
    ...plate,
    prints: [
      { file, good: 2, failures: seen('part had no support', 2) },
      { file, good: 2, failures: seen('nothing stuck to the plate', 2) },
      { file, good: 4, failures: [] },
    ],
  })
  expect(prints[0]?.file).toBeGreaterThan(0.9)
  expect(prints[1]?.machine).toBeGreaterThan(0.4)
  expect(prints[2]).toBeNull()
})

test('the same draws give the same shares; without failures there are none', () => {
  const plate = { ...sure({}), group: groupDrawsBeforeReports() }
  const failed = { ...plate, prints: [{ file: plate.file, good: 3, failures: seen('soft detail', 1) }] }
  expect(blameOfPlate(failed)).toEqual(blameOfPlate(failed))
  expect(blameOfPlate({ ...plate, prints: [{ file: plate.file, good: 3, failures: [] }] }).plate).toBeNull()
})

test('from kept draws as from a fit that has read the plate', () => {
  const plate = (index: number, failures: Plate['prints'][number]['failures'], good: number): Plate => ({
    id: String(index).padStart(3, '0'),
    period: 'attic/1',
    crowding: 'about full',
    day: index,
    prints: [{ line: `line ${index % 3}`, sculptor: 'Vesna', good, failures }],
  })
  const before = Array.from({ length: 12 }, (_, index) => plate(index, [], 6))
  const last = plate(12, seen('stuck to the film', 5), 1)
  // 400 kept draws tell so unusual a plate to about .05, so the mean of a few fits is held against that of longer ones.
  const seeds = [1, 2, 3, 4, 5, 6]
  const mean = (values: (number | undefined)[]) =>
    values.reduce<number>((sum, value) => sum + (value ?? Number.NaN), 0) / 6
  const judged = seeds.map((seed) => {
    const kept = fitGroup(before, { seed })
    const file = drawsOf(keptOf(kept.lines, 0))
    const prints = last.prints.map(({ good, failures }) => ({ file, good, failures }))
    const machine = drawsOf(keptOf(kept.periods, 0))
    return blameOfPlate({ crowding: last.crowding, group: kept.group, machine, prints }).plate
  })
  const fitted = seeds.map((seed) => fitGroup([...before, last], { seed, sweeps: 1600 }).blame)
  expect(
    Math.abs(mean(judged.map((one) => one?.machine)) - mean(fitted.map(({ machine }) => machine.at(-1)))),
  ).toBeLessThan(0.05)
  expect(Math.abs(mean(judged.map((one) => one?.file)) - mean(fitted.map(({ file }) => file.at(-1))))).toBeLessThan(
    0.05,
  )
})
