import { describe, expect, test } from 'vitest'
import type { Base } from '../../web/parts/base.ts'
import { baseMisfit } from '../../web/parts/base.ts'
import { type Comparable, differences } from '../../web/parts/differences.ts'

const unit = { scaleMm: 28, base: { shape: 'round', widthMm: 25 } satisfies Base }
const money = ({ amount }: { amount: string }) => `€${amount}`
const eur = (amount: string) => ({ amount, currency: 'EUR' })

const sure = (mean: number) => ({ mean, low: mean - 0.01, high: mean + 0.01 })
const one = (title: string, over: Partial<Comparable> = {}): Comparable => ({
  title,
  perModel: eur('2.00'),
  comesOut: sure(0.8),
  heightMm: 32,
  scaleMm: 28,
  base: unit.base,
  hindered: false,
  ...over,
})
const told = (...compared: Comparable[]) => differences(compared, unit, money)

describe('what tells stand-ins apart', () => {
  test('of two the cheaper is told beside the other, whichever comes first', () => {
    const reed = one('Reed Sentries', {
      perModel: eur('0.90'),
      comesOut: sure(0.75),
      base: { shape: 'round', widthMm: 23 },
    })
    const bog = one('Bog Bows')
    const words =
      'Reed Sentries is €1.10 a model cheaper than Bog Bows and comes out 5 of 100 less often; its base is 2 mm too small.'
    expect(told(reed, bog)).toEqual([words])
    expect(told(bog, reed)).toEqual([words])
  })

  test('of more each is told beside the cheapest that can be had and printed', () => {
    const stopped = one('Sedge Walkers', { perModel: eur('0.10'), hindered: true })
    const cheap = one('Bog Bows', { perModel: eur('1.02'), scaleMm: 32 })
    const dear = one('Quiet Wardens', { perModel: eur('2.07'), comesOut: sure(0.9), heightMm: 35.4 })
    expect(told(stopped, dear, cheap)).toEqual([
      'Quiet Wardens is €1.05 a model dearer than Bog Bows, comes out 10 of 100 more often and stands 3 mm taller.',
      'Sedge Walkers is €0.92 a model cheaper than Bog Bows and comes out as often.',
      'Bog Bows: it is made for 32 mm.',
    ])
  })

  test('what can’t be had has no price to be told', () => {
    const gone = one('Fen Pickets', { perModel: null, hindered: true, heightMm: null })
    expect(told(gone, one('Bog Bows'))).toEqual(['Bog Bows can be had, unlike Fen Pickets, and comes out as often.'])
    const other = one('Mist Pikes', { perModel: null, hindered: true, comesOut: sure(0.7) })
    expect(told(gone, other)).toEqual([
      'Fen Pickets is not to be had and comes out 10 of 100 more often than Mist Pikes.',
    ])
  })

  test('a difference that few prints speak for may be luck; equal sums are said to be so', () => {
    const wide = { mean: 0.8, low: 0.6, high: 0.95 }
    const vague = { mean: 0.7, low: 0.5, high: 0.9 }
    expect(told(one('A', { comesOut: wide }), one('B', { comesOut: vague }))).toEqual([
      'A costs as much as B and comes out 10 of 100 more often (which may be luck).',
    ])
    // One interval alone holds the other's middle: that is no luck yet.
    expect(told(one('A', { comesOut: sure(0.8) }), one('B', { comesOut: vague }))[0]).not.toContain('luck')
  })

  test('sums keep the digits of their currency', () => {
    const yen = (amount: string) => ({ amount, currency: 'JPY' })
    const dinar = (amount: string) => ({ amount, currency: 'KWD' })
    expect(told(one('A', { perModel: yen('120') }), one('B', { perModel: yen('90') }))[0]).toContain(
      '€30 a model cheaper',
    )
    const [words] = told(one('A', { perModel: dinar('0.300') }), one('B', { perModel: dinar('0.100') }))
    expect(words).toContain('€0.200 a model cheaper')
  })

  test('one alone, or none, is told apart from nothing', () => {
    expect(told(one('A'))).toEqual([])
    expect(told()).toEqual([])
  })
})

describe('where a base does not fit', () => {
  const round = (widthMm: number): Base => ({ shape: 'round', widthMm })
  const oval = (lengthMm: number, widthMm: number): Base => ({ shape: 'oval', widthMm, lengthMm })
  test.each<[Base | null, Base | null, string | null]>([
    [round(25), round(25), null],
    [round(27.5), round(25), '2.5 mm too large'],
    [round(20), round(25), '5 mm too small'],
    [round(25), oval(60, 35), 'round, not oval'],
    [{ shape: 'rectangle', widthMm: 25, lengthMm: 25 }, round(25), 'rectangular, not round'],
    [oval(60, 35), oval(60, 35), null],
    // The longer side is the length, however it was written down.
    [{ shape: 'oval', widthMm: 60, lengthMm: 35 }, oval(60, 35), null],
    [oval(65, 32), oval(60, 35), '5 mm too long and 3 mm too narrow'],
    [oval(60, 42), oval(60, 35), '7 mm too wide'],
    [null, round(25), null],
    [round(25), null, null],
  ])('%j on %j: %s', (own, wanted, words) => {
    expect(baseMisfit(own, wanted)).toBe(words)
  })
})
