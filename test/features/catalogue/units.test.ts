import { afterAll, describe, expect, test } from 'vitest'
import { outsider, startGroup } from '../../support/app.ts'

const wardens = { name: 'Fen Wardens', aliases: ['Marsh Guard'], setting: 'The Drowned March', scaleMm: 28 }

const { app, odile, ada, ben, close } = await startGroup()
afterAll(close)

describe('units', () => {
  test('a unit is kept as it was given, and found by alias and with a typing error', async () => {
    const base = { shape: 'round', widthMm: 25 }
    const retailPrice = { amount: '42.5', currency: 'EUR' }
    const made = await ada.post('/units', { ...wardens, base, modelsPerUnit: 10, retailPrice })
    expect(made.statusCode).toBe(201)
    expect(made.json()).toMatchObject({ ...wardens, base, retailPrice: { amount: '42.50', currency: 'EUR' } })
    for (const q of ['marsh guard', 'fen wardns', 'WARDENS', 'Fén']) {
      const found = (await ben.get(`/units?q=${encodeURIComponent(q)}`)).json().items
      expect(found.map((unit: { name: string }) => unit.name)).toContain('Fen Wardens')
    }
    expect((await ben.get('/units?q=steam%20tractor')).json().items).toEqual([])
  })

  test('the same unit twice is a conflict, in another scale it is another unit', async () => {
    expect((await ben.post('/units', { ...wardens, name: 'fen wardens' })).statusCode).toBe(409)
    expect((await ben.post('/units', { ...wardens, scaleMm: 32 })).statusCode).toBe(201)
  })

  test('money is refused with too many digits, an unknown currency or a minus', async () => {
    const cases = [
      { amount: '1.005', currency: 'EUR' },
      { amount: '10.5', currency: 'JPY' },
      { amount: '1.00', currency: 'ABC' },
      { amount: '-1.00', currency: 'EUR' },
      { amount: 12, currency: 'EUR' },
    ]
    for (const retailPrice of cases) {
      const answer = await ada.post('/units', { ...wardens, name: 'Dear ones', retailPrice })
      expect(answer.statusCode).toBe(422)
      expect(answer.json().errors[0].path).toMatch(/^\/retailPrice\/(amount|currency)$/)
    }
    const kuwait = { ...wardens, name: 'Dinar guard', retailPrice: { amount: '1.005', currency: 'KWD' } }
    expect((await ada.post('/units', kuwait)).json().retailPrice).toEqual({ amount: '1.005', currency: 'KWD' })
  })

  test('an unknown field is named, not lost', async () => {
    const answer = await ada.post('/units', { ...wardens, name: 'Typo', scaleMM: 28 })
    expect(answer.statusCode).toBe(422)
    expect(answer.json().errors).toContainEqual({ path: '/scaleMM', message: 'There is no such field.' })
  })

  test('a change by another member is refused, by a steward it needs If-Match', async () => {
    const { id } = (await ada.post('/units', { ...wardens, name: 'Reed Pikes' })).json()
    expect(
      (await ben.patch(`/units/${id}`, { setting: 'Elsewhere' }, { headers: { 'if-match': '*' } })).statusCode,
    ).toBe(403)
    expect((await odile.patch(`/units/${id}`, { setting: 'Elsewhere' })).statusCode).toBe(428)
    const etag = String((await odile.get(`/units/${id}`)).headers.etag)
    const changed = await odile.patch(`/units/${id}`, { setting: 'Elsewhere' }, { headers: { 'if-match': etag } })
    expect(changed.json()).toMatchObject({ setting: 'Elsewhere', name: 'Reed Pikes' })
    const late = await ada.patch(`/units/${id}`, { setting: 'Here' }, { headers: { 'if-match': etag } })
    expect(late.statusCode).toBe(412)
    expect((await ada.patch(`/units/${id}`, { setting: 'Here' })).statusCode).toBe(200)
  })

  test('pages through every unit exactly once', async () => {
    const seen: string[] = []
    let url = '/units?limit=2'
    for (let turns = 0; url && turns < 20; turns++) {
      const answer = await ben.get(url)
      seen.push(...answer.json().items.map((unit: { id: string }) => unit.id))
      url = /^<\/api\/v1(.*)>; rel="next"$/.exec(String(answer.headers.link ?? ''))?.[1] ?? ''
    }
    expect(seen.length).toBe(new Set(seen).size)
    expect(seen.length).toBe((await ben.get('/units?limit=100')).json().items.length)
    expect((await ben.get('/units?after=nonsense')).statusCode).toBe(422)
  })

  test('the same Idempotency-Key answers as the first time, also at once, and refuses another body', async () => {
    const headers = { 'idempotency-key': 'unit-1' }
    const body = { ...wardens, name: 'Twice Asked' }
    const [one, two] = await Promise.all([ada.post('/units', body, { headers }), ada.post('/units', body, { headers })])
    expect([one.statusCode, two.statusCode]).toEqual([201, 201])
    expect(two.json()).toEqual(one.json())
    expect(two.headers.etag).toBe(one.headers.etag)
    expect((await ada.post('/units', { ...body, name: 'Other' }, { headers })).statusCode).toBe(422)
    expect((await ben.post('/units', { ...wardens, name: 'Ben asks' }, { headers })).statusCode).toBe(201)
  })

  test('the form: refused with what was typed, then accepted once for two presses', async () => {
    const typed = { name: 'Bog Lanterns', scaleMm: 'big', 'retailPrice.amount': '', 'retailPrice.currency': 'EUR' }
    const refused = await ada.submit('/units/new', { ...typed, once: 'a' })
    expect(refused.statusCode).toBe(422)
    expect(refused.body).toContain('value="big"')
    const good = { ...typed, scaleMm: '28,5', modelsPerUnit: '5', once: 'b' }
    const first = await ada.submit('/units/new', good)
    const second = await ada.submit('/units/new', good)
    expect(first.statusCode).toBe(303)
    expect(second.headers.location).toBe(first.headers.location)
    expect((await ada.page('/units?q=bog')).body).toContain('28.5 mm')
  })

  test('a whole form with its name blanked is refused, not kept as it was in silence', async () => {
    const { id } = (await ada.post('/units', { ...wardens, name: 'Mist Pilots', setting: 'Somewhere' })).json()
    const whole = {
      name: '',
      aliases: '',
      setting: '',
      scaleMm: '28',
      'base.shape': '',
      modelsPerUnit: '1',
      version: '1',
    }
    const refused = await ada.submit(`/units/${id}/edit`, whole)
    expect(refused.statusCode).toBe(422)
    expect(refused.body).toContain('Please fill this in.')
    expect((await ada.submit(`/units/${id}/edit`, { ...whole, name: 'Mist Pilots' })).statusCode).toBe(303)
    expect((await ada.get(`/units/${id}`)).json()).toMatchObject({ name: 'Mist Pilots', setting: '' })
  })

  test('is for members', async () => {
    expect((await outsider(app).get('/units')).statusCode).toBe(401)
    expect((await outsider(app).page('/units')).headers.location).toBe('/sign-in?next=%2Funits')
    expect((await ada.get('/units/not-a-uuid')).statusCode).toBe(404)
  })
})
