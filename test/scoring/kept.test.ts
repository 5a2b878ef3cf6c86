import { expect, test } from 'vitest'
import { drawsOf, keptOf, meanOf } from '../../server/scoring/draws.ts'
import { Kept } from '../../server/scoring/kept.ts'
import { seenLabels, tableOf } from '../../server/scoring/labels.ts'
import { layOut } from '../../server/scoring/layout.ts'
import { Random } from '../../server/scoring/random.ts'
import { startingState } from '../../server/scoring/state.ts'

/** Five plates of one machine, by plate the events that passed it and failed there; am = 18, bm = 2. */
const [passed, failed] = [
  [4, 4, 1, 2, 0],
  [0, 0, 3, 1, 2],
]

test.each<[string, number, mean: number]>([
  // (6 + .8^2 1 + .8 2) / (9 + .8^2 4 + .8 3 + 2): the last plate of the wear in full, each before at .8 of it
  ['worn since the third plate', 2, 8.24 / 15.96],
  ['worn since the last plate', 4, 6 / 11],
  // (18 + 4 .95^4 + 4 .95^3 + .95^2 + 2 .95) / (20 + 4 .95^4 + 4 .95^3 + 4 .95^2 + 3 .95 + 2)
  ['in order: all of its plates, each at .95 of the one after it', 5, 27.490025 / 35.147525],
])('a machine is kept as it is now: %s', (_, change, mean) => {
  const table = tableOf(seenLabels, true)
  const print = { line: 's', sculptor: 'g', good: 4, failures: [] }
  const plates = passed.map((__, day) => {
    return { id: `${day}`, period: 'attic', crowding: 'about full' as const, day, prints: [print] }
  })
  const layout = layOut(plates, table.labels)
  const random = new Random(1)
  const state = startingState(layout, table, undefined, random)
  state.hyper.set([1.7, 2, 2, Math.log(9), Math.log(20)])
  state.change[0] = change
  state.machinePassed.set(passed)
  state.machineFailed.set(failed)
  const sweeps = 20_000
  const kept = new Kept(layout, table, { count: 2 * sweeps, sweeps, isHeld: false })
  for (let sweep = 0; sweep < sweeps; sweep++) for (const chain of [0, 1]) kept.keep(chain, sweep, state, random)
  // Within four standard errors: a Beta of some 16 has a standard deviation of .12 at most, 40,000 draws.
  const { periods } = kept.result(1)
  expect(Math.abs(meanOf(drawsOf(keptOf(periods, 0, 2 * sweeps))) - mean)).toBeLessThan(0.0025)
})
