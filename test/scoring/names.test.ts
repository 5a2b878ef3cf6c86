import fc from 'fast-check'
import { expect, test } from 'vitest'
import { Names } from '../../server/scoring/names.ts'

test('every name keeps the place in which it first came', () => {
  fc.assert(
    fc.property(fc.array(fc.string({ maxLength: 3 })), (all) => {
      const names = new Names()
      const first = [...new Set(all)]
      expect(all.map((name) => names.indexOf(name))).toEqual(all.map((name) => first.indexOf(name)))
      expect(names.names).toEqual(first)
      expect(names.count).toBe(first.length)
    }),
  )
})

test('also when there are many that are much alike', () => {
  const names = new Names()
  const all = Array.from(
    { length: 50_000 },
    (_, index) => `44444444-0000-4000-8000-${index.toString(16).padStart(12, '0')}`,
  )
  for (let round = 0; round < 2; round++) {
    expect(all.every((name, index) => names.indexOf(name) === index)).toBe(true)
  }
})
