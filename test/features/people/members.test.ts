import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { App } from '../../../server/http/route.ts'
import { member, outsider, owner, type Person, password, startApp } from '../../support/app.ts'

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
    // Nobody but the owner lets a steward back in.
    const gail = await member(odile, 'Gail', 'steward')
    const at = String((await gail.submit('/me/leave', {})).headers.location)
    expect((await outsider(app).page(at)).body).toContain('You have left the group. The owner can let you back in.')
    expect((await change(stella, gail.id, { state: 'active' })).statusCode).toBe(403)
    expect((await change(odile, gail.id, { state: 'active' })).statusCode).toBe(200)
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
    expect((await ben.page(`/members/${gus.id}`)).body).not.toContain('Remove Gus from the group')
    expect((await stella.page(`/members/${gus.id}`)).body).toContain('Remove Gus from the group')
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
