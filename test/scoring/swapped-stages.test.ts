import { expect, test } from 'vitest'
import { fitGroup } from '../../server/scoring/fit.ts'
import type { Plate } from '../../server/scoring/plates.ts'

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
