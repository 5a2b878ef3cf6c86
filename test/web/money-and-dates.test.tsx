import currencies from 'currency-codes'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { DateWords, dayOf, distanceWords } from '../../web/parts/date-words.tsx'
import { Money, moneyWords } from '../../web/parts/money.tsx'
import { html, irishReader, words } from './render.tsx'

describe('money', () => {
  test('is written in the manner of the group', () => {
    const value = { amount: '1234.50', currency: 'EUR' }
    expect(words(<Money value={value} />)).toBe('€1,234.50')
    expect(words(<Money value={value} />, { ...irishReader, locale: 'de-DE' })).toBe('1.234,50 €')
  })

  test('yen have no digits after the point, dinars three', () => {
    expect(moneyWords({ amount: '1500', currency: 'JPY' }, 'en-GB')).toBe('JP¥1,500')
    expect(moneyWords({ amount: '4.250', currency: 'KWD' }, 'en-GB').replace(/\s/g, ' ')).toBe('KWD 4.250')
  })

  // Source of the digits: ISO 4217, list one, as the package currency-codes carries it.
  test('every currency keeps the digits that ISO 4217 gives it, whatever the locale thinks', () => {
    for (const { code, digits } of currencies.data) {
      const amount = digits > 0 ? `7.${'1'.repeat(digits)}` : '7'
      const written = moneyWords({ amount, currency: code }, 'en-GB')
      expect(written.match(/7(?:\.(\d+))?/)?.[1]?.length ?? 0, code).toBe(digits)
    }
  })

  test('no digit is lost or rounded, however long the sum', () => {
    const amounts = fc.tuple(fc.bigInt({ min: 0n, max: 10n ** 18n }), fc.integer({ min: 0, max: 99 }))
    fc.assert(
      fc.property(amounts, ([whole, cents]) => {
        const amount = `${whole}.${String(cents).padStart(2, '0')}`
        expect(moneyWords({ amount, currency: 'EUR' }, 'en-IE').replace(/[€,]/g, '')).toBe(amount)
      }),
    )
  })

  test('what is no amount is a defect of the page, not shown as NaN', () => {
    expect(() => moneyWords({ amount: '12,50', currency: 'EUR' }, 'en-IE')).toThrow(RangeError)
    expect(() => moneyWords({ amount: '', currency: 'EUR' }, 'en-IE')).toThrow(RangeError)
  })
})

describe('dates', () => {
  test('are words', () => {
    expect(words(<DateWords on="2026-11-03" />)).toBe('3 November 2026')
    expect(words(<DateWords on="2026-11-03" as="both" />)).toBe('3 November 2026 (in 9 days)')
    expect(html(<DateWords on="2026-11-03" as="distance" />)).toBe(
      '<time datetime="2026-11-03" title="3 November 2026">in 9 days</time>',
    )
  })

  test('stay English where the group writes numbers otherwise', () => {
    expect(words(<DateWords on="2026-11-03" />, { ...irishReader, locale: 'de-DE' })).toBe('3 November 2026')
    expect(words(<DateWords on="2026-11-03" />, { ...irishReader, locale: 'en-US' })).toBe('November 3, 2026')
  })

  test.each([
    ['2026-10-25', 'today'],
    ['2026-10-26', 'tomorrow'],
    ['2026-10-24', 'yesterday'],
    ['2026-11-07', 'in 13 days'],
    ['2026-11-08', 'in 2 weeks'],
    ['2026-08-25', '2 months ago'],
    ['2028-10-25', 'in 2 years'],
  ])('%s is %s', (day, said) => {
    expect(distanceWords(day, '2026-10-25')).toBe(said)
  })

  test('an instant is the day where the reader lives, whatever the machine thinks', () => {
    expect(dayOf('2026-10-24T23:30:00Z', 'Europe/Dublin')).toBe('2026-10-25')
    expect(dayOf('2026-10-24T23:30:00Z', 'America/New_York')).toBe('2026-10-24')
    expect(dayOf('2026-10-24T23:30:00Z', 'Pacific/Kiritimati')).toBe('2026-10-25')
  })
})
