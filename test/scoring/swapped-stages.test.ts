import { expect, test } from 'vitest'
import { fitGroup } from '../../server/scoring/fit.ts'
import { chancesBySet, seenLabels, tableOf } from '../../server/scoring/labels.ts'
import { layOut, PlateColumns } from '../../server/scoring/layout.ts'
import type { Plate } from '../../server/scoring/plates.ts'
import { Random } from '../../server/scoring/random.ts'
import { startingState } from '../../server/scoring/state.ts'
import { swapFailedStages } from '../../server/scoring/swapped-stages.ts'

test('the verdict on copies that failed together hardly depends on the chain', () => {
  const plates = Array.from({ length: 13 }, (_, day): Plate => {
    const failures = day === 12 ? [{ seen: 'stuck to the film', copies: 5 }] : []
    const print = { line: `line ${day % 3}`, sculptor: 'Vesna', good: day === 12 ? 1 : 6, failures }
    return { id: `${100 + day}`, period: 'attic', crowding: 'about full', day, prints: [print] }
  })
  const said = [1, 2, 3, 4, 5, 6].map(
    (seed) => fitGroup(plates, { seed, sweeps: 2400 }).blame.machine.at(-1) ?? Number.NaN,
  )
  expect(Math.max(...said) - Math.min(...said)).toBeLessThan(0.15)
})

test('six ways to give two and one of three failed copies to two stages come as often as the urns and the looks say', () => {
  const failures = [
    { seen: 'stuck to the film', copies: 2 },
    { seen: 'supports snapped', copies: 1 },
  ]
  const prints = [{ line: 's', sculptor: 'g', good: 4, failures }]
  const table = tableOf(seenLabels, true)
  const plates = [{ id: 'p', period: 'm', crowding: 'half empty' as const, day: 0, prints }]
  const layout = layOut(new PlateColumns(table.labels, plates))
  const random = new Random(3)
  const state = startingState(layout, table, random)
  const success = [0.8, 0.9, 0.95]
  const ties = [0.25, 0.8, 0.4]
  ;[state.file, state.machine, state.plate].forEach((chances, stage) => {
    chances.pass[0] = success[stage] ?? 0
    chances.fail[0] = 1 - (success[stage] ?? 0)
  })
  state.tie.set(ties)
  state.change[0] = 1
  chancesBySet(table.byCause, 0.1, state.chancesOfSeen)
  // Two copies failed at the file, the third at the machine.
  state.failed.set([1, 1, 2])
  state.fileFailures[0] = 2
  state.machineFailures[0] = 1
  state.plateFailures[0] = 0
  const counts = new Map<string, number>()
  const draws = 120_000
  for (let draw = 0; draw < draws; draw++) {
    swapFailedStages(layout, state, random)
    const way = [...state.failed].join()
    counts.set(way, (counts.get(way) ?? 0) + 1)
  }
  // Copies one by one: the next fails with (q + tie failed) / (1 + tie others). Looks by SCORING's table, .1 of them blind.
  const outcome = (stage: number, failed: number) => {
    const [p = 0, tie = 0] = [success[stage], ties[stage]]
    let chance = 1
    for (let copy = 0; copy < 7; copy++) {
      const base = copy < failed ? 1 - p + tie * copy : p + tie * (copy - failed)
      chance *= base / (1 + tie * copy)
    }
    return chance
  }
  const film = [0.05, 0.2, 0.28].map((chance) => 0.9 * chance + 0.1 / 7)
  const snapped = [0.4, 0.12, 0.25].map((chance) => 0.9 * chance + 0.1 / 7)
  const ways = [0, 1, 2].flatMap((two) => [0, 1, 2].filter((one) => one !== two).map((one) => ({ two, one })))
  const weights = ways.map(({ two, one }) => {
    const urns = [0, 1, 2].reduce(
      (chance, stage) => chance * outcome(stage, stage === two ? 2 : stage === one ? 1 : 0),
      1,
    )
    return urns * (film[two] ?? 0) ** 2 * (snapped[one] ?? 0)
  })
  const all = weights.reduce((sum, weight) => sum + weight, 0)
  ways.forEach(({ two, one }, way) => {
    const share = (counts.get([1 << two, 1 << two, 1 << one].join()) ?? 0) / draws
    expect(share).toBeCloseTo((weights[way] ?? Number.NaN) / all, 2)
  })
})
