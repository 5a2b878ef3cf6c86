import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { App } from '../../../server/http/route.ts'
import { member, outsider, owner, Person, password, startApp } from '../../support/app.ts'

const signIn = (app: App, name: string, word = password) =>
  outsider(app).post('/sessions', { email: `${name}@group.example`, password: word })

describe('oneself', () => {
  let app: App
  let close: () => Promise<void>
  let odile: Person
  let ada: Person
  let now = new Date()
  beforeAll(async () => {
    ;({ app, close } = await startApp({ now: () => now }))
    odile = await owner(app)
    ada = await member(odile, 'Ada')
  })
  afterAll(() => close())

  test('changes a name and the usual crowding, with or without If-Match', async () => {
    const me = await ada.get('/me')
    expect(me.json()).toMatchObject({
      name: 'Ada',
      email: 'ada@group.example',
      role: 'member',
      defaultCrowding: 'about full',
    })
    const headers = { 'if-match': String(me.headers.etag) }
    expect((await ada.patch('/me', { name: 'Ada L' }, { headers })).json().name).toBe('Ada L')
    expect((await ada.patch('/me', { name: 'Ada' }, { headers })).statusCode).toBe(412)
    expect((await ada.patch('/me', { defaultCrowding: 'half empty', name: 'Ada' })).json()).toMatchObject({
      name: 'Ada',
      defaultCrowding: 'half empty',
    })
  })

  test('refuses what cannot be kept (ASVS 2.2.1)', async () => {
    const bad: [Record<string, unknown>, string][] = [
      [{ name: '' }, '/name'],
      [{ name: 'x'.repeat(10_000) }, '/name'],
      [{ name: 'A\u0000da' }, '/name'],
      [{ name: 'A\u001b[31mda' }, '/name'],
      [{ name: 'Ada\u202eenwo' }, '/name'],
      [{ name: '\u200b\u200b' }, '/name'],
      [{ name: '\ud800' }, '/name'],
      [{ defaultCrowding: 'tight' }, '/defaultCrowding'],
      [{ defaultResinId: '018f0000-0000-7000-8000-000000000000' }, '/defaultResinId'],
      [{ defaultPrinterId: '018f0000-0000-7000-8000-000000000000' }, '/defaultPrinterId'],
      [{ role: 'owner' }, '/role'],
      [{ state: 'left' }, '/state'],
    ]
    for (const [body, path] of bad) {
      const answer = await ada.patch('/me', body)
      expect(answer.statusCode, JSON.stringify(body)).toBe(422)
      expect(answer.json().errors[0].path).toBe(path)
    }
  })

  test('a usual printer is one that is in use', async () => {
    const made = await odile.post('/printers', {
      name: 'Grey box',
      plateMm: [143, 89],
      buildHeightMm: 175,
      layerUm: 50,
      exposureS: 2.5,
      bottomLayers: 5,
      bottomExposureS: 30,
      cycleOverheadS: 7,
    })
    const { id } = made.json()
    expect((await ada.patch('/me', { defaultPrinterId: id })).json().defaultPrinterId).toBe(id)
    expect((await ada.page('/me')).body).toContain('Grey box')
    expect((await ada.page(`/members/${odile.id}`)).body).toContain(`/printers/${id}`)
    expect(
      (
        await ada.submit('/me', {
          name: 'Ada',
          defaultPrinterId: '',
          defaultResinId: '',
          defaultCrowding: 'about full',
        })
      ).statusCode,
    ).toBe(303)
    expect((await ada.get('/me')).json()).toMatchObject({ defaultPrinterId: null, defaultCrowding: 'about full' })
  })

  test('a new password wants the old one and ends all other sessions (ASVS 6.2.2, 6.2.3, 7.4.3)', async () => {
    const elsewhere = await signIn(app, 'ada')
    const other = `${elsewhere.cookies[0]?.name}=${elsewhere.cookies[0]?.value}`
    const wrong = await ada.patch('/me', { password: { old: 'not this one', new: 'seven wet paper boats' } })
    expect(wrong.statusCode).toBe(422)
    expect(wrong.json().errors[0].path).toBe('/password/old')
    expect((await ada.patch('/me', { password: { new: 'seven wet paper boats' } })).statusCode).toBe(422)
    const done = await ada.patch('/me', { password: { old: password, new: 'seven wet paper boats' } })
    expect(done.statusCode).toBe(200)
    const before = new Person(app, ada.id, ada.cookie)
    ada.keep(done)
    expect((await ada.get('/me')).statusCode).toBe(200)
    expect((await ada.get('/me', { headers: { cookie: other } })).statusCode).toBe(401)
    // The one that it came by goes on under a new id (ASVS 7.2.4).
    expect(ada.cookie).not.toBe(before.cookie)
    expect((await before.get('/me')).statusCode).toBe(401)
    expect((await signIn(app, 'ada')).statusCode).toBe(401)
    expect((await signIn(app, 'ada', 'seven wet paper boats')).statusCode).toBe(201)
  })

  test('tries at the old password are limited, by page as over REST (ASVS 6.3.1)', async () => {
    const mia = await member(odile, 'Mia')
    const attempt = { old: 'not this one', new: 'seven wet paper boats' }
    for (let turn = 0; turn < 6; turn++) expect((await mia.patch('/me', { password: attempt })).statusCode).toBe(422)
    const fields = { 'password.old': attempt.old, 'password.new': attempt.new }
    for (let turn = 0; turn < 4; turn++)
      expect((await mia.submit('/me/password', { ...fields, once: `mia-${turn}` })).statusCode).toBe(422)
    const late = await mia.submit('/me/password', { ...fields, once: 'mia-9' })
    expect(late.statusCode).toBe(429)
    expect(Number(late.headers['retry-after'])).toBeGreaterThan(0)
    expect((await mia.patch('/me', { password: { ...attempt, old: password } })).statusCode).toBe(429)
    now = new Date(now.getTime() + 16 * 60_000)
    expect((await mia.patch('/me', { password: { ...attempt, old: password } })).statusCode).toBe(200)
  })

  test('a new address wants the password as well (ASVS 7.5.1), and is nobody else’s', async () => {
    const ben = await member(odile, 'Ben')
    expect((await ben.patch('/me', { email: 'benno@group.example' })).json().errors[0].path).toBe('/password/old')
    expect((await ben.patch('/me', { email: 'BEN@group.example' })).statusCode).toBe(200)
    const taken = await ben.patch('/me', { email: 'Ada@Group.Example', password: { old: password } })
    expect(taken.json().errors[0].path).toBe('/email')
    const page = await ben.submit('/me/address', { email: 'ada@group.example', 'password.old': password, once: 'b1' })
    expect(page.statusCode).toBe(422)
    expect(page.body).toContain('already has this address')
    const done = await ben.submit('/me/address', { email: 'benno@group.example', 'password.old': password, once: 'b2' })
    expect(done.headers.location).toBe('/me?said=address-changed')
    expect((await signIn(app, 'benno')).statusCode).toBe(201)
  })

  test('a password by page is taken as typed, blanks and all (ASVS 6.2.8), and once for two presses', async () => {
    const kim = await member(odile, 'Kim')
    const spaced = '  outer blanks count  '
    const fields = { 'password.old': password, 'password.new': spaced, once: 'kim' }
    const first = await kim.submit('/me/password', fields)
    expect(first.headers.location).toBe('/me?said=password-changed')
    const here = new Person(app, kim.id).keep(first)
    expect((await here.submit('/me/password', fields)).headers.location).toBe(first.headers.location)
    // Where the browser had no time to take the new id, it is asked to sign in.
    const late = await kim.submit('/me/password', fields)
    expect([late.statusCode, late.body]).toEqual([401, expect.stringContaining('href="/sign-in"')])
    expect((await here.get('/me')).statusCode).toBe(200)
    expect((await signIn(app, 'kim', spaced.trim())).statusCode).toBe(401)
    expect((await signIn(app, 'kim', spaced)).statusCode).toBe(201)
    const byPage = await outsider(app).submit('/sign-in', { email: 'kim@group.example', password: spaced })
    expect(byPage.statusCode).toBe(303)
  })

  test('refused forms come back with the reason and what was typed, never with a password', async () => {
    const refused = await ada.submit('/me', { name: ' ', defaultCrowding: 'packed' })
    expect(refused.statusCode).toBe(422)
    expect(refused.body).toContain('Please fill this in.')
    const weak = await ada.submit('/me/password', { 'password.old': 'seven wet paper boats', 'password.new': 'short' })
    expect(weak.body).toContain('At least 10 characters')
    expect(weak.body).not.toContain('seven wet paper boats')
    expect((await ada.submit('/me/password', { 'password.old': 'seven wet paper boats' })).statusCode).toBe(422)
  })

  test('can sign out everywhere else (ASVS 7.5.2)', async () => {
    const elsewhere = await signIn(app, 'ada', 'seven wet paper boats')
    const other = `${elsewhere.cookies[0]?.name}=${elsewhere.cookies[0]?.value}`
    expect((await ada.submit('/me/sign-out-others', {})).headers.location).toBe('/me?said=signed-out-elsewhere')
    expect((await ada.get('/me', { headers: { cookie: other } })).statusCode).toBe(401)
    expect((await ada.get('/me')).statusCode).toBe(200)
  })
})
