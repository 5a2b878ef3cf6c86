import { expect, test, vi } from 'vitest'
import { DateWords } from '../../web/parts/date-words.tsx'
import { recent } from '../../web/parts/kept.ts'
import { Money } from '../../web/parts/money.tsx'
import { html } from './render.tsx'

test("a page full of sums and dates makes one of Intl's formatters a kind, not one a sum", () => {
  const forms = (['NumberFormat', 'DateTimeFormat', 'RelativeTimeFormat'] as const).map((name) => vi.spyOn(Intl, name))
  const places = Array.from({ length: 50 }, (_, place) => place)
  html(places.map((place) => <Money key={place} value={{ amount: `${place}.50`, currency: 'NOK' }} />))
  html(places.map((place) => <DateWords key={place} on={`2026-10-25T10:${10 + (place % 50)}:00Z`} as="both" />))
  const made = forms.reduce((sum, form) => sum + form.mock.calls.length, 0)
  vi.restoreAllMocks()
  expect(made).toBeGreaterThan(0)
  expect(made).toBeLessThanOrEqual(3)
})

test('of words that there is no end of, those asked for last are kept', () => {
  const keep = recent<string>(2)
  const make = vi.fn(() => String(make.mock.calls.length))
  expect(['a', 'b', 'a', 'c'].map((words) => keep(words, make))).toEqual(['1', '2', '1', '3'])
  // b was asked for longest ago.
  expect(['a', 'c', 'b'].map((words) => keep(words, make))).toEqual(['1', '3', '4'])
})
