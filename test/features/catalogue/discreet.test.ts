import { describe, expect, test } from 'vitest'
import { discreet, shownSculptor } from '../../../server/features/catalogue/files/rules.ts'

const by = (
  sculptorName: string,
  sculptorCredit: 'named' | 'unnamed' = 'unnamed',
  sculptorHosts: string[] | null = null,
) => ({
  sculptorId: 'an id',
  sculptorName,
  sculptorCredit,
  sculptorHosts,
  sculptorTypedBy: null,
  sculptorTypedAs: null,
  titleBy: null,
})
const member = { id: 'a member', role: 'member' } as const
const steward = { id: 'a steward', role: 'steward' } as const

test.each([
  ['Søren Łask', 'by soren lask.', 'by the sculptor.'],
  ['Soren Lask', 'by SØREN-ŁASK!', 'by the sculptor!'],
  ['Groß', 'Gross, GROSS and groß', 'the sculptor, the sculptor and the sculptor'],
  ['Zoe\u0301 Marn', 'Zoé Marn / Zoe Marn / ZOE\u0301MARN', 'the sculptor / the sculptor / the sculptor'],
  ['Tilda Vorn', 'the TildaVornSculpts guild', 'the the sculptorSculpts guild'],
  ['Ann', 'Ann planned; Anna and ann', 'the sculptor planned; Anna and the sculptor'],
  ['Tilda', 'shop: HTTPS://x.example/y?z, or www.x.example', 'shop: (link left out) or (link left out)'],
  ['😀', 'no letters 😀', 'no letters 😀'],
  ['Tilda', 'nothing of hers', 'nothing of hers'],
  ['Tilda', '', ''],
])('%s is taken out of “%s”', (name, text, left) => {
  expect(discreet(text, by(name), member, null)).toBe(left)
})

describe('a part of the name', () => {
  test.each([
    ['Hollis Grebe', 'Grebe’s club, and hollis says so', 'the sculptor’s club, and the sculptor says so'],
    ['Hollis Grebe', 'GRÈBE-style, from GrebeMinis', 'the sculptor-style, from the sculptorMinis'],
    ['Hollis Grebe', 'grebes, ingrebed, Hollister', 'grebes, ingrebed, Hollister'],
    ['Hollis Grebe', 'a big rebel, gre be', 'a big rebel, gre be'],
    ['Zoe\u0301 Łaskovič', 'Laskovic, ŁASKOVIČ', 'the sculptor, the sculptor'],
    ['The Grebe Mill', 'the mill of Grebe', 'the mill of the sculptor'],
    ['T. Vorn', 'Tilda V, T Vorn and Vorn', 'Tilda V, the sculptor and the sculptor'],
  ])('of %s is taken out of “%s” as a word of its own', (name, text, left) => {
    expect(discreet(text, by(name), member, null)).toBe(left)
  })

  test.each([
    [
      'The Mill',
      'the wheel of a mill, The Millers, by the millions',
      'the wheel of a mill, The Millers, by the millions',
    ],
    ['The Mill', 'From The Mill; from TheMill', 'From the sculptor; from the sculptor'],
    ['Tin Herons Studio', 'tin herons, a heron, this studio', 'tin herons, a heron, this studio'],
    ['Ann Li', 'Ann is a name, Li another; ann li', 'Ann is a name, Li another; the sculptor'],
    ['Over Thorne', 'over t-shirts; overt', 'over t-shirts; overt'],
  ])('of %s that is an ordinary word, or short, stays: “%s”', (name, text, left) => {
    expect(discreet(text, by(name), member, null)).toBe(left)
  })
})

describe('the host of a link of theirs', () => {
  const hosts = ['lake-things.example', 'seller.example']
  test.each([
    ['see lake-things.example.', 'see (link left out).'],
    ['LAKE-THINGS.example/set?x=1, or shop.lake-things.example', '(link left out) or (link left out)'],
    ['m@lake-things.example', 'm@(link left out)'],
    ['seller.example/grebe: 5 EUR', '(link left out) 5 EUR'],
    ['lake-things, bestseller.example, seller.examples, sellerxexample', undefined],
    ['supports.Then sand it. 2.0 is better', undefined],
  ])('is taken out of “%s”', (text, left = text) => {
    expect(discreet(text, by('Hollis Grebe', 'unnamed', hosts), member, null)).toBe(left)
  })
})

test('whoever wrote it reads it, whoever else did not', () => {
  expect(discreet('By Tilda', by('Tilda'), member, 'a member')).toBe('By Tilda')
  expect(discreet('By Tilda', by('Tilda'), member, 'somebody else')).toBe('By the sculptor')
})

test('whoever typed the name to be named sees it, and nobody else does', () => {
  const typed = { ...by('Tilda'), sculptorTypedBy: 'a member', sculptorTypedAs: 'named' as const }
  expect(shownSculptor(typed, member)).toEqual({ id: 'an id', name: 'Tilda', credit: 'named' })
  expect(shownSculptor(typed, { ...member, id: 'another' })).toEqual({ id: null, name: null, credit: 'unnamed' })
  const asUnnamed = { ...typed, sculptorTypedAs: 'unnamed' as const }
  expect(shownSculptor(asUnnamed, member)).toEqual({ id: null, name: null, credit: 'unnamed' })
})

test('stewards read everything, and everybody reads of who may be named', () => {
  expect(discreet('By Tilda', by('Tilda'), steward, null)).toBe('By Tilda')
  expect(discreet('By Tilda, https://t.example', by('Tilda', 'named'), member, null)).toBe(
    'By Tilda, https://t.example',
  )
  expect(shownSculptor(by('Tilda'), member)).toEqual({ id: null, name: null, credit: 'unnamed' })
  expect(shownSculptor(by('Tilda'), steward)).toEqual({ id: 'an id', name: 'Tilda', credit: 'unnamed' })
  expect(shownSculptor(by('Tilda', 'named'), member)).toEqual({ id: 'an id', name: 'Tilda', credit: 'named' })
})
