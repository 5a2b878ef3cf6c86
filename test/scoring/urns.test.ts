import betaln from '@stdlib/math-base-special-betaln'
import { describe, expect, test } from 'vitest'
import { drawEvents } from '../../server/scoring/events.ts'
import { seenLabels, tableOf } from '../../server/scoring/labels.ts'
import { layOut, PlateColumns } from '../../server/scoring/layout.ts'
import { rhoGrid, tieOf } from '../../server/scoring/model.ts'
import type { Plate } from '../../server/scoring/plates.ts'
import { Random } from '../../server/scoring/random.ts'
import { startingState } from '../../server/scoring/state.ts'
import { drawTies } from '../../server/scoring/ties.ts'

function expectShares(counts: readonly number[], shares: readonly number[]): void {
  const draws = counts.reduce((sum, count) => sum + count, 0)
  shares.forEach((share, at) => {
    // Four and a half standard errors: one in 150,000.
    const limit = 4.5 * Math.sqrt((share * (1 - share)) / draws) + 1e-12
    expect(Math.abs((counts[at] ?? 0) / draws - share)).toBeLessThan(limit)
  })
}

/**
 * Unsigned Stirling numbers of the first kind, n copies in k events.
 *
 * @see NIST Digital Library of Mathematical Functions, 26.8.18 for the recurrence
 */
function stirling(n: number): number[] {
  let row = [1]
  for (let m = 0; m < n; m++) {
    row = Array.from({ length: m + 2 }, (_, k) => (row[k - 1] ?? 0) + m * (row[k] ?? 0))
  }
  return row
}

describe('how many events the copies of an urn are (Antoniak 1974): |s(n, k)| x^k / x (x + 1) ... (x + n - 1)', () => {
  test('table 26.8.1 of the NIST library for n = 4', () => {
    expect(stirling(4)).toEqual([0, 6, 11, 6, 1])
  })

  test.each([
    [4, 0.2, 0.1],
    [6, 0.9, 0.35],
    [10, 0.5, 0.75],
    [10, 0.03, 0.02],
    [25, 0.95, 0.05],
  ])('%d copies, chance %d, rho %d', (copies, chance, rho) => {
    const random = new Random(9)
    const counts = new Array<number>(copies + 1).fill(0)
    for (let draw = 0; draw < 60_000; draw++) {
      const events = drawEvents(copies, chance, tieOf(rho), random)
      counts[events] = (counts[events] ?? 0) + 1
    }
    const x = (chance * (1 - rho)) / rho
    const rising = Array.from({ length: copies }, (_, i) => x + i).reduce((product, factor) => product * factor, 1)
    expectShares(
      counts,
      stirling(copies).map((number, events) => (number * x ** events) / rising),
    )
  })

  test('each copy is one where they do not hang together, and one copy always is', () => {
    const random = new Random(1)
    expect(drawEvents(7, 0.3, 0, random)).toBe(7)
    expect(drawEvents(1, 0.3, 3, random)).toBe(1)
    expect(drawEvents(0, 0.3, 3, random)).toBe(0)
  })
})

describe('how closely copies hang together', () => {
  const plates: Plate[] = [
    { id: 'a', period: 'm', crowding: 'about full', day: 1, prints: [print('s', 6, 4), print('t', 2, 1)] },
    { id: 'b', period: 'm', crowding: 'packed', day: 2, prints: [print('s', 9, 0)] },
    { id: 'c', period: 'n', crowding: 'about full', day: 1, prints: [print('t', 0, 5), print('s', 1, 0)] },
    { id: 'd', period: 'm', crowding: 'packed', day: 3, prints: [print('t', 14, 8)] },
  ]
  const table = tableOf(seenLabels, true)
  const layout = layOut(new PlateColumns(table.labels, plates))
  const random = new Random(4)
  const state = startingState(layout, table, random)
  // Lines s, t; machines m (worn from d on), n; plates a, b, d, c as they stand by period.
  const success = { s: 0.8, t: 0.6, m: 0.9, worn: 0.5, n: 0.7, full: 0.95, packed: 0.85 }
  const set = (chances: { pass: Float64Array; fail: Float64Array }, at: number, pass: number) => {
    chances.pass[at] = pass
    chances.fail[at] = 1 - pass
  }
  set(state.file, 0, success.s)
  set(state.file, 1, success.t)
  set(state.machine, 0, success.m)
  set(state.worn, 0, success.worn)
  set(state.machine, 1, success.n)
  set(state.plate, 1, success.full)
  set(state.plate, 2, success.packed)
  state.change.set([2, 1])
  state.fileFailures.set([3, 1, 0, 5, 2, 0])
  state.machineFailures.set([2, 0, 6, 1])
  state.plateFailures.set([1, 0, 2, 4])

  const counted = [new Array<number>(7).fill(0), new Array<number>(7).fill(0), new Array<number>(7).fill(0)]
  const places = rhoGrid.map(tieOf)
  /** Weights before any report: flat at the file; a torn film takes most of a plate, a full plate some of its copies. */
  const before = [
    [1, 1, 1, 1, 1, 1, 1],
    [0.1, 0.3, 1, 1, 1, 1, 1],
    [1, 1, 1, 0.3, 0.1, 0.03, 0.01],
  ]
  for (let draw = 0; draw < 40_000; draw++) {
    drawTies(layout, state, random)
    state.tie.forEach((tie, stage) => {
      const at = places.indexOf(tie)
      const counts = counted[stage]
      if (counts) counts[at] = (counts[at] ?? 0) + 1
    })
  }

  test.each<[string, number, [tried: number, failed: number, p: number][]]>([
    [
      'at the file, print by print',
      0,
      [
        [10, 3, success.s],
        [3, 1, success.t],
        [9, 0, success.s],
        [22, 5, success.t],
        [5, 2, success.t],
        [1, 0, success.s],
      ],
    ],
    [
      'at the machine, in order or worn',
      1,
      [
        [13, 2, success.m],
        [9, 0, success.m],
        [22, 6, success.worn],
        [6, 1, success.n],
      ],
    ],
    [
      'at the plate, by how full it is',
      2,
      [
        [13, 1, success.full],
        [9, 0, success.packed],
        [22, 2, success.packed],
        [6, 4, success.full],
      ],
    ],
  ])('%s: by the beta-binomial', (_, stage, urns) => {
    // Beta-binomial of a = size p, b = size q: B(a + n - y, b + y) / B(a, b), by the library.
    const logs = rhoGrid.map((rho) => {
      const size = (1 - rho) / rho
      return urns.reduce((sum, [tried, failed, p]) => {
        const [a, b] = [size * p, size * (1 - p)]
        return sum + betaln(a + tried - failed, b + failed) - betaln(a, b)
      }, 0)
    })
    const weights = logs.map((log, at) => (before[stage]?.[at] ?? 0) * Math.exp(log - Math.max(...logs)))
    const all = weights.reduce((sum, weight) => sum + weight, 0)
    expectShares(
      counted[stage] ?? [],
      weights.map((weight) => weight / all),
    )
  })
})

function print(line: string, good: number, failed: number) {
  return { line, sculptor: 'g', good, failures: [{ seen: "don't know", copies: failed }] }
}
