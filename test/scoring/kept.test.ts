import { expect, test } from 'vitest'
import { drawsOf, meanOf } from '../../server/scoring/draws.ts'
import { keepDraw, roomFor } from '../../server/scoring/kept.ts'
import { seenLabels, tableOf } from '../../server/scoring/labels.ts'
import { layOut, PlateColumns } from '../../server/scoring/layout.ts'
import { coordinates } from '../../server/scoring/model.ts'
import { Random } from '../../server/scoring/random.ts'
import { startingState } from '../../server/scoring/state.ts'

/** Five plates of one machine, by plate the events that passed it and failed there. */
const [passed, failed] = [
  [4, 4, 1, 2, 0],
  [0, 0, 3, 1, 2],
]

test.each<[string, number, mean: number]>([
  // (4 + .8^2 1 + .8 2) / (8 + .8^2 4 + .8 3 + 2): the last plate of the wear in full, each before at .8 of it
  ['worn since the third plate', 2, 6.24 / 14.96],
  ['worn since the last plate', 4, 4 / 10],
  // (18 + 4 .95^4 + 4 .95^3 + .95^2 + 2 .95) / (20 + 4 .95^4 + 4 .95^3 + 4 .95^2 + 3 .95 + 2)
  ['in order: all of its plates, each at .95 of the one after it', 5, 27.490025 / 35.147525],
])('a machine is kept as it is now: %s', (_, change, mean) => {
  const table = tableOf(seenLabels, true)
  const print = { line: 's', sculptor: 'g', good: 4, failures: [] }
  const plates = passed.map((__, day) => {
    return { id: `${day}`, period: 'attic', crowding: 'about full' as const, day, prints: [print] }
  })
  const layout = layOut(new PlateColumns(table.labels, plates))
  const random = new Random(1)
  const state = startingState(layout, table, random)
  state.hyper.set(coordinates({ mu0: 0.85, k0: 10, k: 10, am: 18, bm: 2 }))
  state.change[0] = change
  state.machineEvents.passed.set(passed)
  state.machineEvents.failed.set(failed)
  const kept = roomFor(layout, table.labels, 40_000)
  for (let draw = 0; draw < 40_000; draw++) keepDraw(kept, draw, state, random)
  // Within four standard errors: a Beta of some 15 has a standard deviation of .13 at most, 40,000 draws.
  expect(Math.abs(meanOf(drawsOf(kept.periods)) - mean)).toBeLessThan(0.0027)
})
