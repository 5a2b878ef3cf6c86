import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Db } from '../../db/connect.ts'
import type { App } from '../../server/http/app-type.ts'
import { member, outsider, owner, type Person, password, startApp } from '../support/app.ts'

const etagOf = async (viewer: Person, id: string) => String((await viewer.get(`/members/${id}`)).headers.etag)

/** Changes somebody as they are now. */
async function change(by: Person, id: string, body: Record<string, unknown>) {
  return by.patch(`/members/${id}`, body, { headers: { 'if-match': await etagOf(by, id) } })
}

const signIn = (app: App, name: string, word = password) =>
  outsider(app).post('/sessions', { email: `${name}@group.example`, password: word })

describe('members', () => {
  let app: App
  let close: () => Promise<void>
  let odile: Person
  let stella: Person
  let ada: Person
  let ben: Person
  beforeAll(async () => {
    ;({ app, close } = await startApp())
    odile = await owner(app)
    stella = await member(odile, 'Stella', 'steward')
    ada = await member(odile, 'Ada')
    ben = await member(odile, 'Ben')
  })
  afterAll(() => close())

  test('everybody sees who is here, by name; addresses are for stewards and oneself (ASVS 8.2.3, 15.3.1)', async () => {
    const seen = (await ben.get('/members')).json().items
    expect(seen.map((one: { name: string }) => one.name)).toEqual(['Ada', 'Ben', 'Odile', 'Stella'])
    expect(seen.filter((one: { email?: string }) => one.email).map((one: { id: string }) => one.id)).toEqual([ben.id])
    for (const { email } of (await stella.get('/members')).json().items) expect(email).toMatch(/@group\.example$/)
    expect((await ben.get(`/members/${ada.id}`)).json()).not.toHaveProperty('email')
    expect((await ben.page('/members')).body).not.toContain('ada@group.example')
    expect((await ben.page(`/members/${ada.id}`)).body).not.toContain('ada@group.example')
    expect((await stella.page(`/members/${ada.id}`)).body).toContain('ada@group.example')
    for (const path of ['/members', `/members/${ada.id}`, '/me']) {
      const { body } = await odile.get(path)
      expect(body).not.toMatch(/hash|argon/i)
    }
  })

  test('pages through the members', async () => {
    const first = await ben.get('/members?limit=3')
    const second = await ben.get(`/members?limit=3&after=${first.json().next}`)
    expect(first.json().items).toHaveLength(3)
    expect(second.json()).toMatchObject({ items: [{ name: 'Stella' }], next: null })
    expect((await ben.get('/members?state=left')).json().items).toEqual([])
    expect((await ben.get('/members?state=gone')).statusCode).toBe(422)
    expect((await ben.get('/members?after=nonsense')).statusCode).toBe(422)
  })

  test('only the owner changes roles (ASVS 8.2.1, 8.2.2)', async () => {
    for (const person of [ben, stella, ada]) {
      expect((await change(person, ada.id, { role: 'steward' })).statusCode).toBe(403)
      expect((await change(person, person.id, { role: 'owner' })).statusCode).toBe(403)
    }
    const promoted = await change(odile, ada.id, { role: 'steward' })
    expect(promoted.json()).toMatchObject({ id: ada.id, role: 'steward' })
    expect((await ada.get('/invitations')).statusCode).toBe(200)
    expect((await change(odile, ada.id, { role: 'member' })).json().role).toBe('member')
    expect((await ada.get('/invitations')).statusCode).toBe(403)
  })

  test('a change of another wants If-Match, and one of the two', async () => {
    expect((await odile.patch(`/members/${ada.id}`, { role: 'steward' })).statusCode).toBe(428)
    const stale = { headers: { 'if-match': '"99"' } }
    expect((await odile.patch(`/members/${ada.id}`, { role: 'steward' }, stale)).statusCode).toBe(412)
    expect((await change(odile, ada.id, {})).statusCode).toBe(422)
    expect((await change(odile, ada.id, { role: 'member', state: 'left' })).statusCode).toBe(422)
    expect((await change(odile, ada.id, { role: 'king' })).json().errors[0].path).toBe('/role')
    expect((await change(odile, ada.id, { name: 'Somebody' })).json().errors[0].path).toBe('/name')
  })

  test('the owner cannot step down or leave, only hand over', async () => {
    expect((await change(odile, odile.id, { role: 'member' })).statusCode).toBe(409)
    expect((await change(odile, odile.id, { state: 'left' })).statusCode).toBe(409)
    expect((await change(stella, odile.id, { state: 'left' })).statusCode).toBe(403)
    expect((await change(odile, odile.id, { role: 'owner' })).statusCode).toBe(200)
  })

  test('handing over makes the present owner a steward; of two at once one is judged by the other', async () => {
    const [toStella, toBen] = [await etagOf(odile, stella.id), await etagOf(odile, ben.id)]
    const answers = await Promise.all([
      odile.patch(`/members/${stella.id}`, { role: 'owner' }, { headers: { 'if-match': toStella } }),
      odile.patch(`/members/${ben.id}`, { role: 'owner' }, { headers: { 'if-match': toBen } }),
    ])
    expect(answers.map((one) => one.statusCode).sort()).toEqual([200, 403])
    const roles = (await ada.get('/members')).json().items.map((one: { role: string }) => one.role)
    expect(roles.filter((role: string) => role === 'owner')).toHaveLength(1)
    expect((await odile.get('/me')).json().role).toBe('steward')
    const heir = answers[0].statusCode === 200 ? stella : ben
    expect((await change(heir, odile.id, { role: 'owner' })).statusCode).toBe(200)
    expect((await change(odile, heir.id, { role: heir === stella ? 'steward' : 'member' })).statusCode).toBe(200)
    expect((await odile.get('/me')).json().role).toBe('owner')
  })

  test('whoever is let go is signed out at once, on every browser, and their invitations with them (ASVS 7.4.2)', async () => {
    const cleo = await member(odile, 'Cleo', 'steward')
    const { url } = (await cleo.post('/invitations', {})).json()
    expect((await change(stella, cleo.id, { state: 'left' })).statusCode).toBe(403)
    expect((await change(odile, cleo.id, { state: 'left' })).json().state).toBe('left')
    expect((await cleo.get('/me')).statusCode).toBe(401)
    expect((await cleo.page('/')).headers.location).toContain('/sign-in')
    expect((await signIn(app, 'cleo')).statusCode).toBe(401)
    expect((await outsider(app).page(new URL(url).pathname)).statusCode).toBe(404)
    expect((await change(odile, cleo.id, { role: 'member' })).statusCode).toBe(409)
    expect((await change(stella, cleo.id, { state: 'active' })).statusCode).toBe(403)
    expect((await change(odile, cleo.id, { state: 'active' })).json()).toMatchObject({
      state: 'active',
      role: 'steward',
    })
    expect((await cleo.get('/me')).statusCode).toBe(401)
    expect((await signIn(app, 'cleo')).statusCode).toBe(201)
  })

  test('a steward lets plain members leave and come back; members let nobody', async () => {
    const dora = await member(odile, 'Dora')
    expect((await change(ben, dora.id, { state: 'left' })).statusCode).toBe(403)
    expect((await change(stella, dora.id, { state: 'left' })).statusCode).toBe(200)
    expect((await change(stella, dora.id, { state: 'active' })).statusCode).toBe(200)
  })

  test('one may leave oneself', async () => {
    const emil = await member(odile, 'Emil')
    expect((await emil.patch(`/members/${emil.id}`, { state: 'left' })).statusCode).toBe(200)
    expect((await emil.get('/me')).statusCode).toBe(401)
    const fay = await member(odile, 'Fay')
    const gone = await fay.submit('/me/leave', {})
    expect(gone.headers.location).toBe('/sign-in?said=left-group')
    expect((await fay.get('/me')).statusCode).toBe(401)
  })

  test('is for members, and knows nobody else', async () => {
    for (const path of ['/members', `/members/${ada.id}`, '/me']) {
      expect((await outsider(app).get(path)).statusCode).toBe(401)
      expect((await outsider(app).page(path)).statusCode).toBe(303)
    }
    expect((await outsider(app).patch(`/members/${ada.id}`, { role: 'owner' })).statusCode).toBe(401)
    const unknown = '018f0000-0000-7000-8000-000000000000'
    for (const id of [unknown, 'not-a-uuid']) {
      expect((await ada.get(`/members/${id}`)).statusCode).toBe(404)
      expect(
        (await odile.patch(`/members/${id}`, { role: 'steward' }, { headers: { 'if-match': '"1"' } })).statusCode,
      ).toBe(404)
      expect((await ada.page(`/members/${id}`)).statusCode).toBe(404)
    }
  })

  test('the pages: roles by the owner, leaving by stewards, and a stale form says so', async () => {
    const gus = await member(odile, 'Gus')
    expect((await ben.page(`/members/${gus.id}`)).body).not.toContain('Let Gus leave')
    expect((await stella.page(`/members/${gus.id}`)).body).toContain('Let Gus leave')
    expect((await stella.page(`/members/${gus.id}`)).body).not.toContain('Keep this role')
    const version = /name="version" value="(\d+)"/.exec((await odile.page(`/members/${gus.id}`)).body)?.[1] ?? ''
    const pressed = { role: 'steward', version, once: 'gus-1' }
    const first = await odile.submit(`/members/${gus.id}/role`, pressed)
    expect(first.headers.location).toBe(`/members/${gus.id}?said=role-changed`)
    expect((await odile.submit(`/members/${gus.id}/role`, pressed)).headers.location).toBe(first.headers.location)
    const late = await odile.submit(`/members/${gus.id}/role`, { role: 'member', version, once: 'gus-2' })
    expect(late.statusCode).toBe(422)
    expect(late.body).toContain('Somebody changed this after you opened it')
    expect((await ben.submit(`/members/${gus.id}/state`, { state: 'left', version: '2' })).statusCode).toBe(403)
    const gone = await odile.submit(`/members/${gus.id}/state`, { state: 'left', version: '2' })
    expect(gone.headers.location).toContain('said=member-left')
    expect((await odile.page('/members')).body).toMatch(/\d have left/)
    expect((await odile.page(`/members/${gus.id}`)).body).toContain('Let Gus back in')
  })
})

describe('a way back in', () => {
  let app: App
  let db: Db
  let close: () => Promise<void>
  let odile: Person
  let stella: Person
  let ada: Person
  let now = new Date()
  beforeAll(async () => {
    ;({ app, db, close } = await startApp({ now: () => now }))
    odile = await owner(app)
    stella = await member(odile, 'Stella', 'steward')
    ada = await member(odile, 'Ada')
  })
  afterAll(() => close())

  const make = (by: Person, id: string) => by.post(`/members/${id}/way-back`)
  const pathOf = (answer: { json(): { url: string } }) => new URL(answer.json().url).pathname

  test('is made by stewards for members, by the owner for stewards, for the owner by nobody (ASVS 6.4.3)', async () => {
    expect((await make(ada, stella.id)).statusCode).toBe(403)
    expect((await make(stella, odile.id)).statusCode).toBe(403)
    expect((await make(stella, stella.id)).statusCode).toBe(409)
    expect((await make(odile, odile.id)).statusCode).toBe(409)
    const other = await member(odile, 'Sten', 'steward')
    expect((await make(stella, other.id)).statusCode).toBe(403)
    expect((await make(odile, other.id)).statusCode).toBe(201)
    expect((await make(outsider(app), ada.id)).statusCode).toBe(401)
    expect((await make(stella, '018f0000-0000-7000-8000-000000000000')).statusCode).toBe(404)
  })

  test('sets a new password once, ends every session, and only the newest link works', async () => {
    const [first, second] = [pathOf(await make(stella, ada.id)), pathOf(await make(stella, ada.id))]
    expect(JSON.stringify(await db.selectFrom('wayBack').selectAll().execute())).not.toContain(second.split('/').at(-1))
    expect((await outsider(app).page(first)).statusCode).toBe(404)
    expect((await outsider(app).page(second)).body).toContain('Welcome back, Ada')
    const weak = await outsider(app).submit(second, { password: 'qwertyuiop' })
    expect(weak.statusCode).toBe(422)
    expect(weak.body).toContain('Many people have had this password')
    const set = await outsider(app).submit(second, { password: 'seven wet paper boats' })
    expect(set.headers.location).toBe('/?said=back-in')
    expect(set.cookies[0]?.name).toBe('understudy_session')
    expect((await ada.get('/me')).statusCode).toBe(401)
    expect((await signIn(app, 'ada')).statusCode).toBe(401)
    expect((await signIn(app, 'ada', 'seven wet paper boats')).statusCode).toBe(201)
    expect((await outsider(app).submit(second, { password: 'again and again' })).statusCode).toBe(404)
  })

  test('of two who use it at once one gets in', async () => {
    const path = pathOf(await make(stella, ada.id))
    const answers = await Promise.all(
      ['one dry tin boat', 'two dry tin boats'].map((word) => outsider(app).post(path, { password: word })),
    )
    expect(answers.map((one) => one.statusCode).sort()).toEqual([201, 404])
  })

  test('ends after a day, and with the membership', async () => {
    const path = pathOf(await make(stella, ada.id))
    now = new Date(now.getTime() + 25 * 3_600_000)
    expect((await outsider(app).post(path, { password: 'three dry tin boats' })).statusCode).toBe(404)
    const late = pathOf(await make(stella, ada.id))
    expect((await change(odile, ada.id, { state: 'left' })).statusCode).toBe(200)
    expect((await outsider(app).page(late)).statusCode).toBe(404)
    expect((await make(stella, ada.id)).statusCode).toBe(409)
    expect((await change(odile, ada.id, { state: 'active' })).statusCode).toBe(200)
  })

  test('ends with a new password or role: it opens no more than it was made for', async () => {
    const ben = await member(odile, 'Ben')
    const before = pathOf(await make(stella, ben.id))
    expect((await change(odile, ben.id, { role: 'steward' })).statusCode).toBe(200)
    expect((await outsider(app).post(before, { password: 'five dry tin boats' })).statusCode).toBe(404)
    const other = pathOf(await make(odile, ben.id))
    expect((await ben.patch('/me', { password: { old: password, new: 'six dry tin boats' } })).statusCode).toBe(200)
    expect((await outsider(app).page(other)).statusCode).toBe(404)
  })

  test('the page shows the link once; a second press is the same link', async () => {
    const code = /name="code" value="([\w-]{24})"/.exec((await stella.page(`/members/${ada.id}`)).body)?.[1] ?? ''
    for (let turn = 0; turn < 2; turn++)
      expect((await stella.submit(`/members/${ada.id}/way-back`, { code })).body).toContain(
        `/way-back/${code}</textarea>`,
      )
    expect((await stella.page(`/members/${ada.id}`)).body).not.toContain(code)
    expect((await outsider(app).page(`/way-back/${code}`)).statusCode).toBe(200)
    expect((await odile.page(`/members/${stella.id}`)).body).toContain('Stella forgot the password')
    expect((await stella.page(`/members/${odile.id}`)).body).not.toContain('forgot the password')
  })
})

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
      defaultCrowding: 'normal',
    })
    const headers = { 'if-match': String(me.headers.etag) }
    expect((await ada.patch('/me', { name: 'Ada L' }, { headers })).json().name).toBe('Ada L')
    expect((await ada.patch('/me', { name: 'Ada' }, { headers })).statusCode).toBe(412)
    expect((await ada.patch('/me', { defaultCrowding: 'loose', name: 'Ada' })).json()).toMatchObject({
      name: 'Ada',
      defaultCrowding: 'loose',
    })
  })

  test('refuses what can not be kept (ASVS 2.2.1)', async () => {
    const bad: [Record<string, unknown>, string][] = [
      [{ name: '' }, '/name'],
      [{ name: 'x'.repeat(10_000) }, '/name'],
      [{ name: 'A\u0000da' }, '/name'],
      [{ name: 'A\u001b[31mda' }, '/name'],
      [{ name: 'Ada\u202eenwo' }, '/name'],
      [{ name: '\u200b\u200b' }, '/name'],
      [{ name: '\ud800' }, '/name'],
      [{ defaultCrowding: 'tight' }, '/defaultCrowding'],
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
    expect((await ada.submit('/me', { name: 'Ada', defaultPrinterId: '', defaultCrowding: 'normal' })).statusCode).toBe(
      303,
    )
    expect((await ada.get('/me')).json()).toMatchObject({ defaultPrinterId: null, defaultCrowding: 'normal' })
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
    expect((await ada.get('/me')).statusCode).toBe(200)
    expect((await ada.get('/me', { headers: { cookie: other } })).statusCode).toBe(401)
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
    expect(page.body).toContain('has this address already')
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
    expect((await kim.submit('/me/password', fields)).headers.location).toBe(first.headers.location)
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
