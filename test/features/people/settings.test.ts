import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Db } from '../../../db/connect.ts'
import { localeOf, timeZoneOf } from '../../../server/features/people/settings/rules.ts'
import { sums as sumNames } from '../../../server/features/people/settings/schema.ts'
import { groupOf } from '../../../server/http/group.ts'
import type { App } from '../../../server/http/route.ts'
import { member, outsider, owner, type Person, startApp } from '../../support/app.ts'
import { planned } from '../../support/rosters.ts'

const eur = (amount: string) => ({ amount, currency: 'EUR' })

describe('settings', () => {
  let app: App
  let db: Db
  let close: () => Promise<void>
  let odile: Person
  let stella: Person
  let ada: Person
  const now = new Date('2026-05-20T12:00:00Z')
  beforeAll(async () => {
    ;({ app, db, close } = await startApp({ now: () => now }))
    odile = await owner(app)
    stella = await member(odile, 'Stella', 'steward')
    ada = await member(odile, 'Ada')
  })
  afterAll(() => close())

  /** Changes the settings as they are now. */
  async function change(body: Record<string, unknown>, by = stella) {
    const etag = String((await by.get('/settings')).headers.etag)
    return by.patch('/settings', body, { headers: { 'if-match': etag } })
  }

  test('start with the values of the trade, in the group’s currency', async () => {
    expect((await ada.get('/settings')).json()).toMatchObject({
      name: 'The Thursday table',
      currency: 'EUR',
      locale: 'en-GB',
      timeZone: 'UTC',
      looksWorth: eur('1.00'),
      resinPricePerKg: eur('35.00'),
      resinGramsPerMl: 1.1,
      resinMlPerModel: 10,
      perPlate: eur('1.00'),
      cleanUp: eur('0.50'),
      cleanUpPerPlate: eur('1.00'),
      timePerHour: eur('0.00'),
    })
  })

  test('stewards change them, with If-Match', async () => {
    const changed = await change({ looksWorth: eur('0.5'), resinMlPerModel: 8.25, name: 'The Friday table' })
    expect(changed.json()).toMatchObject({ looksWorth: eur('0.50'), resinMlPerModel: 8.25, name: 'The Friday table' })
    expect(changed.json().resinPricePerKg).toEqual(eur('35.00'))
    expect((await stella.patch('/settings', { cleanUp: eur('1') })).statusCode).toBe(428)
    const stale = { headers: { 'if-match': '"1"' } }
    expect((await stella.patch('/settings', { cleanUp: eur('1') }, stale)).statusCode).toBe(412)
    expect((await change({ cleanUp: eur('1') }, ada)).statusCode).toBe(403)
    expect((await outsider(app).get('/settings')).statusCode).toBe(401)
  })

  test('of two changes of one state the second is refused', async () => {
    const headers = { 'if-match': String((await stella.get('/settings')).headers.etag) }
    const answers = await Promise.all([
      stella.patch('/settings', { cleanUp: eur('0.60') }, { headers }),
      odile.patch('/settings', { cleanUp: eur('0.70') }, { headers }),
    ])
    expect(answers.map((one) => one.statusCode).sort()).toEqual([200, 412])
  })

  test('bad values are named at their field', async () => {
    const cases: [Record<string, unknown>, string][] = [
      [{ name: '' }, '/name'],
      [{ locale: 'not a tag' }, '/locale'],
      [{ locale: 'xx-XX' }, '/locale'],
      [{ timeZone: 'Mars/Olympus' }, '/timeZone'],
      [{ timeZone: '+02:00' }, '/timeZone'],
      [{ looksWorth: { amount: '1.00', currency: 'USD' } }, '/looksWorth/currency'],
      [{ timePerHour: { amount: '1000', currency: 'JPY' } }, '/timePerHour/currency'],
      [{ perPlate: { amount: '1.00', currency: 'USD' } }, '/perPlate/currency'],
      [{ cleanUpPerPlate: eur('1.001') }, '/cleanUpPerPlate/amount'],
      [{ looksWorth: eur('1.005') }, '/looksWorth/amount'],
      [{ looksWorth: eur('-1') }, '/looksWorth/amount'],
      [{ looksWorth: 1 }, '/looksWorth'],
      [{ resinGramsPerMl: 0 }, '/resinGramsPerMl'],
      [{ resinGramsPerMl: '1.1' }, '/resinGramsPerMl'],
      [{ resinMlPerModel: 1e9 }, '/resinMlPerModel'],
      [{ looksworth: eur('1') }, '/looksworth'],
    ]
    for (const [body, path] of cases) {
      const answer = await change(body)
      expect(answer.statusCode, path).toBe(422)
      expect(answer.json().errors[0].path).toBe(path)
    }
  })

  test('locale and time zone are kept in their usual spelling', async () => {
    expect((await change({ locale: 'de-de', timeZone: 'europe/lisbon' })).json()).toMatchObject({
      locale: 'de-DE',
      timeZone: 'Europe/Lisbon',
    })
    expect((await change({ locale: 'en-GB', timeZone: 'UTC' })).statusCode).toBe(200)
    expect(localeOf('')).toBeUndefined()
    expect(timeZoneOf('')).toBeUndefined()
  })

  describe('rates', () => {
    test('are noted by stewards; the newest day counts', async () => {
      const noted = await stella.put('/settings/rates/USD', { worth: 0.92, seenOn: '2026-05-01' })
      expect(noted.json()).toEqual({ currency: 'USD', worth: 0.92, seenOn: '2026-05-01' })
      expect((await stella.put('/settings/rates/USD', { worth: 0.95 })).json().seenOn).toBe('2026-05-20')
      const older = await stella.put('/settings/rates/USD', { worth: 0.5, seenOn: '2026-01-01' })
      expect(older.json()).toEqual({ currency: 'USD', worth: 0.95, seenOn: '2026-05-20' })
      expect((await stella.put('/settings/rates/USD', { worth: 0.94, seenOn: '2026-05-20' })).json().worth).toBe(0.94)
      await stella.put('/settings/rates/JPY', { worth: 0.0061, seenOn: '2026-05-02' })
      expect((await ada.get('/settings/rates')).json().items).toEqual([
        { currency: 'JPY', worth: 0.0061, seenOn: '2026-05-02' },
        { currency: 'USD', worth: 0.94, seenOn: '2026-05-20' },
      ])
      expect((await groupOf(db)).rates).toEqual({ JPY: 0.0061, USD: 0.94 })
    })

    test('bad ones are refused', async () => {
      const put = (currency: string, body: Record<string, unknown>, by = stella) =>
        by.put(`/settings/rates/${currency}`, body)
      expect((await put('EUR', { worth: 1 })).json().errors[0].path).toBe('/currency')
      for (const body of [{ worth: 0 }, { worth: -1 }, { worth: '0.9' }, { worth: 1e-12 }, { worth: 1e12 }, {}])
        expect((await put('USD', body)).json().errors[0].path, JSON.stringify(body)).toBe('/worth')
      expect((await put('USD', { worth: 1, seenOn: '2026-05-22' })).json().errors[0].path).toBe('/seenOn')
      expect((await put('USD', { worth: 1, seenOn: '2026-02-30' })).json().errors[0].path).toBe('/seenOn')
      for (const currency of ['XAU', 'usd', 'ABC', '..%2f'])
        expect((await put(currency, { worth: 1 })).statusCode).toBe(404)
      expect((await put('USD', { worth: 1 }, ada)).statusCode).toBe(403)
      expect((await put('USD', { worth: 1 }, outsider(app))).statusCode).toBe(401)
    })

    test('are forgotten, once', async () => {
      expect((await ada.delete('/settings/rates/JPY')).statusCode).toBe(403)
      expect((await stella.delete('/settings/rates/JPY')).statusCode).toBe(204)
      expect((await stella.delete('/settings/rates/JPY')).statusCode).toBe(404)
    })
  })

  describe('by page', () => {
    const fields = {
      name: 'The Thursday table',
      locale: 'en-GB',
      timeZone: 'UTC',
      'looksWorth.amount': '1,25',
      'looksWorth.currency': 'EUR',
      'resinPricePerKg.amount': '40',
      'resinPricePerKg.currency': 'EUR',
      resinGramsPerMl: '1,12',
      resinMlPerModel: '9',
      'perPlate.amount': '0.90',
      'perPlate.currency': 'EUR',
      'cleanUp.amount': '0.40',
      'cleanUp.currency': 'EUR',
      'cleanUpPerPlate.amount': '1.20',
      'cleanUpPerPlate.currency': 'EUR',
      'timePerHour.amount': '6',
      'timePerHour.currency': 'EUR',
    }
    const version = async () => /name="version" value="(\d+)"/.exec((await stella.page('/settings')).body)?.[1] ?? ''

    test('members read them, with what they do', async () => {
      const { body } = await ada.page('/settings')
      expect(body).toContain('Worth of looks, a model: <strong>')
      expect(body).toContain('Higher: what the group likes moves up')
      expect(body).not.toContain('Keep these settings')
      expect(body).not.toContain('Note this rate')
      expect((await ada.submit('/settings', { ...fields, version: '1' })).statusCode).toBe(403)
      expect((await outsider(app).page('/settings')).headers.location).toBe('/sign-in?next=%2Fsettings')
    })

    test('stewards change them; a refused form says why and keeps what was typed', async () => {
      const refused = await stella.submit('/settings', {
        ...fields,
        version: await version(),
        resinGramsPerMl: 'heavy',
        'cleanUp.amount': '',
      })
      expect(refused.statusCode).toBe(422)
      expect(refused.body).toContain('value="heavy"')
      expect(refused.body).toContain('Please fill this in.')
      const sent = { ...fields, version: await version(), once: 'settings-1' }
      const first = await stella.submit('/settings', sent)
      expect(first.headers.location).toBe('/settings?said=saved')
      expect((await stella.submit('/settings', sent)).headers.location).toBe('/settings?said=saved')
      expect((await stella.get('/settings')).json()).toMatchObject({
        looksWorth: eur('1.25'),
        resinGramsPerMl: 1.12,
        perPlate: eur('0.90'),
        cleanUpPerPlate: eur('1.20'),
      })
      const late = await stella.submit('/settings', { ...sent, once: 'settings-2' })
      expect(late.statusCode).toBe(422)
      expect(late.body).toContain('Somebody changed this after you opened it')
    })

    test('a rate is noted and forgotten', async () => {
      const rate = { currency: 'SEK', worth: '0,088', seenOn: '2026-05-19', once: 'rate-1' }
      expect((await stella.submit('/settings/rates', rate)).headers.location).toBe('/settings?said=rate-noted#rates')
      expect((await ada.page('/settings')).body).toContain('0.088 EUR')
      const future = await stella.submit('/settings/rates', { ...rate, seenOn: '2027-01-01', once: 'rate-2' })
      expect(future.statusCode).toBe(422)
      expect(future.body).toContain('This day is in the future.')
      for (let turn = 0; turn < 2; turn++)
        expect((await stella.submit('/settings/rates/SEK/drop', {})).headers.location).toBe(
          '/settings?said=rate-dropped#rates',
        )
      expect((await ada.submit('/settings/rates/SEK/drop', {})).statusCode).toBe(403)
    })

    test('the currency changes with every sum until something is priced', async () => {
      expect((await change({ currency: 'KWD' })).json().errors[0].path).toBe('/looksWorth')
      const yen = { ...fields, currency: 'JPY', version: await version() }
      const digits = await stella.submit('/settings', yen)
      expect(digits.statusCode).toBe(422)
      expect(digits.body).toContain('Too many digits after the point for JPY.')
      const whole = { ...yen, 'looksWorth.amount': '160', 'resinPricePerKg.amount': '6000', 'cleanUp.amount': '80' }
      Object.assign(whole, { 'perPlate.amount': '150', 'cleanUpPerPlate.amount': '200' })
      expect((await stella.submit('/settings', whole)).statusCode).toBe(303)
      expect((await stella.get('/settings')).json()).toMatchObject({
        currency: 'JPY',
        looksWorth: { amount: '160', currency: 'JPY' },
      })
      expect((await stella.get('/settings/rates')).json().items).toEqual([])

      const sums = Object.fromEntries(sumNames.map((sum) => [sum, eur('1')]))
      const toEuros = async () => (await change({ currency: 'EUR', ...sums })).statusCode
      const roster = { name: 'Autumn', text: 'unit,models,retail price\nFen Wardens,5,4200' }
      const { id: priced } = (await ada.post('/rosters', roster)).json()
      expect(await toEuros()).toBe(409)
      await ada.delete(`/rosters/${priced}`)
      const { id: plannedOne } = (await ada.post('/rosters', { name: 'Spring', text: '5 x Fen Wardens' })).json()
      await planned(ada, plannedOne)
      expect(await toEuros()).toBe(409)
      await ada.delete(`/rosters/${plannedOne}`)
      expect((await stella.page('/settings')).body).not.toContain('That stays so')

      const unit = { name: 'Fen Wardens', scaleMm: 28, retailPrice: { amount: '42.50', currency: 'EUR' } }
      expect((await ada.post('/units', unit)).statusCode).toBe(201)
      const late = await change({ currency: 'EUR', ...sums })
      expect(late.statusCode).toBe(409)
      expect(late.json().errors[0].path).toBe('/currency')
      const page = (await stella.page('/settings')).body
      expect(page).toContain('The group counts in JPY. The currency stays, since something has been priced')
      expect(page).not.toContain('name="currency" required aria-describedby="form-currency-hint"')
    })

    test('says which currencies of offers want a rate', async () => {
      const offer = { kind: 'purchase', price: { amount: '9.00', currency: 'GBP' }, seenOn: '2026-05-01' }
      const file = { title: 'Reed Sentries', sculptor: { name: 'Ines Varga' }, offer }
      expect((await ada.post('/files', file)).statusCode).toBe(201)
      expect((await ada.page('/settings')).body).toContain(
        'offers are priced in GBP, and their exchange rate is not known',
      )
      await stella.put('/settings/rates/GBP', { worth: 190, seenOn: '2026-05-01' })
      expect((await ada.page('/settings')).body).not.toContain('offers are priced in')
    })
  })
})
