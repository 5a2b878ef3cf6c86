import { describe, expect, test, vi } from 'vitest'
import { successOf } from '../../server/scoring/chances.ts'
import { emptyGroupDraws } from '../../server/scoring/group-draws.ts'
import { oncePerRow } from '../../server/scoring/once.ts'

const row = (...chances: number[]) => Float64Array.from(chances)

describe('what is worked out of draws is worked out once', () => {
  test('for each row and number, and not by what stands in the row', () => {
    const once = oncePerRow<number>()
    const work = vi.fn(() => work.mock.calls.length)
    const [one, twin] = [row(0.5), row(0.5)]
    expect([once([one, 1], work), once([one, 2], work), once([twin, 1], work)]).toEqual([1, 2, 3])
    expect([once([one, 1], work), once([one, 2], work), once([twin, 1], work)]).toEqual([1, 2, 3])
  })

  test('for rows in their order', () => {
    const once = oncePerRow<number[]>()
    const firsts = (...rows: [Float64Array, ...Float64Array[]]) => once(rows, () => rows.map(([chance = 0]) => chance))
    const [one, other, twin] = [row(0.5), row(0.25), row(0.25)]
    expect(firsts(one, other)).toEqual([0.5, 0.25])
    expect(firsts(other, one)).toEqual([0.25, 0.5])
    expect(firsts(one)).toEqual([0.5])
    expect(firsts(one, other)).toBe(firsts(one, other))
    expect(firsts(one, twin)).not.toBe(firsts(one, other))
  })

  test('a row keeps a bounded number of results, with other rows too', () => {
    const once = oncePerRow<number>()
    const work = vi.fn(() => 0)
    const [one, others] = [row(0.5), Array.from({ length: 1000 }, () => row(0.25))]
    for (let again = 0; again < 2; again++) for (const other of others) once([one, other], work)
    expect(work.mock.calls.length).toBeGreaterThan(1900)
    for (const other of others.slice(0, 5)) once([one, other], work)
    const before = work.mock.calls.length
    for (const other of others.slice(0, 5)) once([one, other], work)
    expect(work).toHaveBeenCalledTimes(before)
  })
})

test('success is told apart by each of its stages', () => {
  const group = emptyGroupDraws([], 1)
  group.plates.packed.fill(0.5)
  group.plates['half empty'].fill(0.75)
  const [file, machine] = [row(0.5), row(0.25)]
  const stages = { file, machine, group, crowding: 'packed' as const }
  expect(successOf(stages)).toEqual(row(0.0625))
  expect(successOf(stages)).toBe(successOf(stages))
  expect(successOf({ ...stages, crowding: 'half empty' })).toEqual(row(0.09375))
  expect(successOf({ ...stages, machine: row(1) })).toEqual(row(0.25))
  expect(successOf({ ...stages, file: row(1) })).toEqual(row(0.125))
})
