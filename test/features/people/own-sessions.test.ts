import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { member, outsider, Person, password, startGroup } from '../../support/app.ts'

const hour = 3_600_000
const agents = {
  desk: 'Mozilla/5.0 (X11; Linux x86_64; rv:140.0) Gecko/20100101 Firefox/140.0',
  phone: 'Mozilla/5.0 (Android 15; Mobile; rv:140.0) Gecko/140.0 Firefox/140.0',
}

let group: Awaited<ReturnType<typeof startGroup>>
let odile: Person
let ada: Person
let ben: Person
beforeEach(async () => {
  group = await startGroup({ trustProxy: true })
  ;({ odile, ada, ben } = group)
})
afterEach(() => group.close())

async function signedIn(name: string, agent: string, from: string): Promise<Person> {
  const headers = { 'user-agent': agent, 'x-forwarded-for': from }
  const answer = await outsider(group.app).post('/sessions', { email: `${name}@group.example`, password }, { headers })
  return new Person(group.app, answer.json().memberId).keep(answer)
}

const sessionsOf = async (who: Person) => (await who.get('/sessions')).json().items
const status = async (who: Person) => (await who.get('/me')).statusCode

describe('one’s own sessions', () => {
  test('are listed with when, from where and by which browser, the newest first, and nobody else’s (ASVS 7.5.2)', async () => {
    const desk = await signedIn('ada', agents.desk, '203.0.113.7')
    const phone = await signedIn('ada', agents.phone, '2001:db8::7')
    const items = await sessionsOf(desk)
    const instant = expect.stringMatching(/^\d{4}-\d\d-\d\dT[\d:.]+Z$/)
    const common = { id: expect.any(String), signedInAt: instant, lastUsedAt: instant }
    expect(items).toEqual([
      { ...common, from: '2001:db8::7', browser: 'Firefox on Android', isCurrent: false },
      { ...common, from: '203.0.113.7', browser: 'Firefox on Linux', isCurrent: true },
      { ...common, from: '127.0.0.1', browser: "a program, or a browser that doesn't say", isCurrent: false },
    ])
    expect(JSON.stringify(items)).not.toContain(String(phone.cookie).split('=')[1])
    const { body } = await desk.page('/me')
    for (const words of ['Firefox on Android', '2001:db8::7', 'Firefox on Linux', 'this one', 'today'])
      expect(body).toContain(words)
    expect((await ben.page('/me')).body).not.toContain('203.0.113.7')
    expect((await outsider(group.app).get('/sessions')).statusCode).toBe(401)
  })

  test('are listed in pages', async () => {
    for (let turn = 0; turn < 3; turn++) await signedIn('ada', agents.desk, `203.0.113.${turn}`)
    const first = await ada.get('/sessions?limit=3')
    const second = await ada.get(`/sessions?limit=3&after=${first.json().next}`)
    expect([first.json().items.length, second.json().items.length, second.json().next]).toEqual([3, 1, null])
    expect((await ada.get('/sessions?after=nonsense')).statusCode).toBe(422)
  })

  test('are ended one by one, and others’ are not there (ASVS 8.2.2)', async () => {
    const phone = await signedIn('ada', agents.phone, '203.0.113.8')
    const [newest] = await sessionsOf(ada)
    expect((await ben.delete(`/sessions/${newest.id}`)).statusCode).toBe(404)
    expect((await odile.delete(`/sessions/${newest.id}`)).statusCode).toBe(404)
    expect(await status(phone)).toBe(200)
    expect((await ada.delete(`/sessions/${newest.id}`)).statusCode).toBe(204)
    expect([await status(phone), await status(ada)]).toEqual([401, 200])
    expect((await ada.delete(`/sessions/${newest.id}`)).statusCode).toBe(404)
    for (const id of ['not-an-id', '018f0000-0000-7000-8000-000000000000'])
      expect((await ada.delete(`/sessions/${id}`)).statusCode).toBe(404)
  })

  test('include the one that asks, whose browser then forgets it', async () => {
    const [mine] = await sessionsOf(ada)
    const answer = await ada.delete(`/sessions/${mine.id}`)
    expect(answer.cookies[0]?.value).toBe('')
    expect(await status(ada)).toBe(401)
  })

  test('are ended by page, twice as well as once', async () => {
    const phone = await signedIn('ada', agents.phone, '203.0.113.8')
    const action = /action="(\/me\/sessions\/[\w-]+\/end)"/.exec((await ada.page('/me')).body)?.[1] ?? ''
    for (let press = 0; press < 2; press++)
      expect((await ada.submit(action, {})).headers.location).toBe('/me?said=session-ended#sessions')
    expect([await status(phone), await status(ada)]).toEqual([401, 200])
    expect((await ada.page('/me')).body).not.toContain('/me/sign-out-others')
  })

  test('say when they were last used, to the hour', async () => {
    const set = (seenAt: Date) =>
      group.db.updateTable('session').set({ seenAt }).where('memberId', '=', ada.id).execute()
    const lastUsed = async () => new Date((await sessionsOf(ada))[0].lastUsedAt).getTime()
    const recently = Date.now() - 0.5 * hour
    await set(new Date(recently))
    expect(await lastUsed()).toBe(recently)
    await set(new Date(Date.now() - 2 * hour))
    expect(await lastUsed()).toBeGreaterThan(recently)
  })
})

describe('a steward ends a member’s sessions (ASVS 7.4.5)', () => {
  const both = async (name: string) => [
    await signedIn(name, agents.desk, '203.0.113.7'),
    await signedIn(name, agents.phone, '203.0.113.8'),
  ]
  const out = (by: Person, who: Person) => by.delete(`/members/${who.id}/sessions`)

  test('all at once, by REST and by page; the member signs in again', async () => {
    const stella = await member(odile, 'Stella', 'steward')
    const [desk, phone] = (await both('ada')) as [Person, Person]
    expect((await out(stella, ada)).statusCode).toBe(204)
    expect(await Promise.all([ada, desk, phone].map(status))).toEqual([401, 401, 401])
    expect(await status(ben)).toBe(200)
    const again = await signedIn('ada', agents.desk, '203.0.113.7')
    expect((await stella.page(`/members/${ada.id}`)).body).toContain('Sign Ada out everywhere')
    const answer = await stella.submit(`/members/${ada.id}/sign-out`, { once: 'out' })
    expect(answer.headers.location).toBe(`/members/${ada.id}?said=member-signed-out`)
    expect(await status(again)).toBe(401)
  })

  test('a steward’s are for the owner to end, the owner’s for nobody else, and one’s own are elsewhere', async () => {
    const [stella, sten] = [await member(odile, 'Stella', 'steward'), await member(odile, 'Sten', 'steward')]
    expect((await out(sten, stella)).statusCode).toBe(403)
    expect((await out(stella, odile)).statusCode).toBe(403)
    expect((await out(stella, stella)).statusCode).toBe(409)
    expect((await out(ben, ada)).statusCode).toBe(403)
    expect((await ben.submit(`/members/${ada.id}/sign-out`, {})).statusCode).toBe(403)
    expect((await out(outsider(group.app), ada)).statusCode).toBe(401)
    for (const page of [await ben.page(`/members/${ada.id}`), await sten.page(`/members/${stella.id}`)])
      expect(page.body).not.toContain('out everywhere')
    expect(await Promise.all([stella, sten, odile, ada].map(status))).toEqual([200, 200, 200, 200])
    expect((await out(odile, stella)).statusCode).toBe(204)
    expect(await status(stella)).toBe(401)
    expect((await out(odile, new Person(group.app, '018f0000-0000-7000-8000-000000000000'))).statusCode).toBe(404)
  })
})
