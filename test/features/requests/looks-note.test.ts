import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { Answer, Answers } from '../../../server/features/requests/answers/schema.ts'
import { looksNote } from '../../../server/features/requests/answers/show.ts'
import { looksMinor } from '../../../server/scoring/rank.ts'

/** An answer's note on its looks, and the sum beside it. */
function noted(wanted: number, worthMinor: number, votes: { yes: number; no: number; share: number }) {
  const amount = (minor: number) => (minor / 100).toFixed(2)
  const looks = amount(looksMinor(wanted, worthMinor, votes.share))
  const answer = { votes: { ...votes, mine: null }, breakdown: { looks } } as unknown as Answer
  const answers = { wanted, looksWorth: { amount: amount(worthMinor), currency: 'EUR' } } as unknown as Answers
  return { note: looksNote(answer, answers), looks }
}

test('tells its votes, and those that are added', () => {
  // 7 of 8 and 4 as a group of which 73.2 of 100 votes are yes: 9.928 of 12.
  const { note, looks } = noted(10, 150, { yes: 7, no: 1, share: 9.928 / 12 })
  expect(looks).toBe('2.59')
  expect(note).toBe(
    '10 × 1.50 × 17.27 of 100 who would not field it: 7 of 8 would; 4 votes as the group usually votes are added',
  )
  expect(noted(10, 150, { yes: 0, no: 0, share: 0.8 }).note).toBe(
    '10 × 1.50 × 20 of 100 who would not field it: by 4 votes as the group usually votes',
  )
})

test('its product is the sum beside it, by school arithmetic', () => {
  const cases = fc.tuple(
    fc.integer({ min: 1, max: 60 }),
    fc.integer({ min: 1, max: 500 }),
    fc.integer({ min: 1, max: 996 }),
  )
  fc.assert(
    fc.property(cases, ([wanted, worthMinor, thousandths]) => {
      const { note, looks } = noted(wanted, worthMinor, { yes: 1, no: 1, share: thousandths / 997 })
      const [, models, worth, of100] = /^(\d+) × ([\d.]+) × ([\d.]+) of 100/.exec(note) ?? []
      const product = (Number(models) * Number(worth) * Number(of100)) / 100
      expect(Math.abs(product - Number(looks))).toBeLessThan(0.00501)
    }),
    // A hair above half a cent: four decimals of the share lead below it.
    { examples: [[[29, 460, 388]]] },
  )
})
