import { expect, test } from 'vitest'
import { settingsExample } from '../../../server/features/people/settings/example.ts'
import type { Settings } from '../../../server/features/people/settings/schema.ts'

const eur = (amount: string) => ({ amount, currency: 'EUR' })
const settings: Settings = {
  name: 'The Tuesday Trestle',
  currency: 'EUR',
  locale: 'en-IE',
  timeZone: 'Europe/Dublin',
  looksWorth: eur('1.00'),
  resinPricePerKg: eur('40.00'),
  resinGramsPerMl: 1.1,
  resinMlPerModel: 10,
  perPlate: eur('1.50'),
  cleanUp: eur('0.50'),
  cleanUpPerPlate: eur('1.00'),
  timePerHour: eur('0.00'),
  version: 1,
}
const cents = ({ amount }: { amount: string }) => Math.round(Number(amount) * 100)
const more = (of: Settings) =>
  Object.fromEntries(settingsExample(of).more.map(({ setting, more }) => [setting, cents(more)]))

test('the example is the sum of its terms, those that can be done by hand as done by hand', () => {
  const example = settingsExample(settings)
  // 10 x 10 ml x 1.1 g at 40.00 a kilogram; two plates for ten at eight to each; 30 of 100 times ten models at 1.00.
  expect(cents(example.resin)).toBe(440)
  expect(cents(example.plates)).toBe(300)
  expect(cents(example.looks)).toBe(300)
  expect(cents(example.snags)).toBe(0)
  expect(cents(example.failures)).toBeGreaterThan(0)
  expect(example.comesOut).toBeGreaterThan(0.3)
  expect(example.comesOut).toBeLessThan(1)
  // At least resin at .44, clean-up at .50 and an eighth of a plate at 1.50 for each copy that fails.
  expect(cents(example.failures)).toBeGreaterThan(example.expectedFailures * (44 + 50 + 150 / 8))
  const terms = [example.resin, example.plates, example.failures, example.snags, example.looks]
  expect(cents(example.total)).toBe(terms.reduce((sum, term) => sum + cents(term), 0))
})

test('a fifth more of a setting adds what it adds: of looks a fifth of them, of resin a fifth of all its resin', () => {
  const now = more(settings)
  expect(now.looksWorth).toBe(60)
  expect(now.timePerHour).toBe(0)
  expect(more({ ...settings, timePerHour: eur('10.00') }).timePerHour).toBe(100)
  // The price, the weight and the millilitres multiply, so that each moves the same sum.
  expect(now.resinPricePerKg).toBeGreaterThan(88)
  expect(now.resinGramsPerMl).toBe(now.resinPricePerKg)
  expect(now.resinMlPerModel).toBe(now.resinPricePerKg)
})

test('counts in currencies without cents, too', () => {
  const yen = (amount: string) => ({ amount, currency: 'JPY' })
  const inYen = Object.fromEntries(
    Object.entries(settings).map(([name, value]) => [
      name,
      typeof value === 'object' ? yen(String(Math.round(Number(value.amount) * 160))) : value,
    ]),
  )
  const { looks, total } = settingsExample({ ...(inYen as unknown as Settings), currency: 'JPY' })
  expect(looks).toEqual(yen('480'))
  expect(total.amount).toMatch(/^\d+$/)
})
