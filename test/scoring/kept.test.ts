import { expect, test } from 'vitest'
import { drawsOf } from '../../server/scoring/draws.ts'
import { keepDraw, roomFor } from '../../server/scoring/kept.ts'
import { seenLabels, tableOf } from '../../server/scoring/labels.ts'
import { layOut, PlateColumns } from '../../server/scoring/layout.ts'
import { Random } from '../../server/scoring/random.ts'
import { startingState } from '../../server/scoring/state.ts'

test.each([
  ['worn since the third of five plates', 2, 0.4],
  ['worn since the last plate', 4, 0.4],
  ['in order', 5, 0.9],
])('a machine is kept as its last plate found it: %s', (_, change, success) => {
  const table = tableOf(seenLabels, true)
  const print = { line: 's', sculptor: 'g', good: 4, failures: [] }
  const plates = [0, 1, 2, 3, 4].map((day) => {
    return { id: `${day}`, period: 'attic', crowding: 'about full' as const, day, prints: [print] }
  })
  const layout = layOut(new PlateColumns(table.labels, plates))
  const random = new Random(1)
  const state = startingState(layout, table, random)
  state.change[0] = change
  state.machine.pass[0] = 0.9
  state.machine.fail[0] = 0.1
  state.worn.pass[0] = 0.4
  state.worn.fail[0] = 0.6
  const kept = roomFor(layout, table.labels, 1)
  keepDraw(kept, 0, state)
  expect(drawsOf(kept.periods)[0]).toBeCloseTo(success, 3)
})
