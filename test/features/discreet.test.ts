import { expect, test } from 'vitest'
import { discreet, shownSculptor } from '../../server/features/files/rules.ts'

const by = (sculptorName: string, sculptorCredit: 'named' | 'unnamed' = 'unnamed') => ({
  sculptorId: 'an id',
  sculptorName,
  sculptorCredit,
})
const member = { role: 'member' } as const
const steward = { role: 'steward' } as const

test.each([
  ['Søren Łask', 'by soren lask.', 'by the sculptor.'],
  ['Soren Lask', 'by SØREN-ŁASK!', 'by the sculptor!'],
  ['Groß', 'Gross, GROSS and groß', 'the sculptor, the sculptor and the sculptor'],
  ['Zoe\u0301 Marn', 'Zoé Marn / Zoe Marn / ZOE\u0301MARN', 'the sculptor / the sculptor / the sculptor'],
  ['Tilda Vorn', 'the TildaVornSculpts tribe', 'the the sculptorSculpts tribe'],
  ['Ann', 'Ann planned; Anna and ann', 'the sculptor planned; Anna and the sculptor'],
  ['Tilda', 'shop: HTTPS://x.example/y?z, or www.x.example', 'shop: (link left out) or (link left out)'],
  ['😀', 'no letters 😀', 'no letters 😀'],
  ['Tilda', 'nothing of hers', 'nothing of hers'],
  ['Tilda', '', ''],
])('%s is taken out of “%s”', (name, text, left) => {
  expect(discreet(text, by(name), member)).toBe(left)
})

test('stewards read everything, and everybody reads of who may be named', () => {
  expect(discreet('By Tilda', by('Tilda'), steward)).toBe('By Tilda')
  expect(discreet('By Tilda, https://t.example', by('Tilda', 'named'), member)).toBe('By Tilda, https://t.example')
  expect(shownSculptor(by('Tilda'), member)).toEqual({ id: null, name: null, credit: 'unnamed' })
  expect(shownSculptor(by('Tilda'), steward)).toEqual({ id: 'an id', name: 'Tilda', credit: 'unnamed' })
  expect(shownSculptor(by('Tilda', 'named'), member)).toEqual({ id: 'an id', name: 'Tilda', credit: 'named' })
})
