import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { setupTries } from '../../server/features/people/group/queries.ts'
import { member, outsider, type Person, password, startApp, startGroup } from '../support/app.ts'

const lines: string[] = []
const logTo = { write: (line: string) => void lines.push(line) }

/** The events of the log since the test began, without what every line of it has. */
const events = () =>
  lines
    .map((line) => JSON.parse(line))
    .filter((line) => line.event !== undefined)
    .map(({ time: _time, pid: _pid, hostname: _host, reqId: _request, msg: _words, ...rest }) => rest)

const [info, warn] = [30, 40]
const wrong = { email: 'ada@group.example', password: 'a wrong guess at it' }

describe('the log tells', () => {
  let group: Awaited<ReturnType<typeof startGroup>>
  let odile: Person
  let ada: Person
  let ben: Person
  beforeAll(async () => {
    group = await startGroup({ logTo, logLevel: 'info', trustProxy: true })
    ;({ odile, ada, ben } = group)
  })
  afterAll(() => group.close())
  beforeEach(async () => {
    await group.db.deleteFrom('attempt').execute()
    lines.length = 0
  })

  const from = { 'x-forwarded-for': '203.0.113.7' }
  const failed = (memberId: string | null, status: number) => ({
    level: warn,
    event: 'sign-in failed',
    by: null,
    from: '203.0.113.7',
    status,
    memberId,
  })

  test('whose sign-in failed and from where, not by which address or password', async () => {
    await outsider(group.app).post('/sessions', wrong, { headers: from })
    await outsider(group.app).post('/sessions', { ...wrong, email: 'mia@elsewhere.example' }, { headers: from })
    expect(events()).toEqual([failed(ada.id, 422), failed(null, 422)])
    expect(lines.join('')).not.toMatch(/example|guess/)
  })

  test('that somebody tried too often, also where a form says it', async () => {
    for (let turn = 0; turn < 10; turn++) await outsider(group.app).post('/sessions', wrong, { headers: from })
    lines.length = 0
    await outsider(group.app).post('/sessions', wrong, { headers: from })
    const form = new URLSearchParams(wrong).toString()
    const headers = { ...from, 'content-type': 'application/x-www-form-urlencoded' }
    await group.app.inject({ method: 'POST', url: '/sign-in', headers, payload: form })
    expect(events()).toEqual([failed(ada.id, 429), failed(ada.id, 429)])
  })

  test('who signs in, by what, and out again', async () => {
    const answer = await outsider(group.app).post('/sessions', { ...wrong, password }, { headers: from })
    const cookie = answer.cookies.map(({ name, value }) => `${name}=${value}`).join('')
    await outsider(group.app).delete('/sessions/current', { headers: { ...from, cookie } })
    const there = { level: info, from: '203.0.113.7' }
    expect(events()).toEqual([
      { ...there, event: 'signed in', by: null, memberId: ada.id, proof: 'password' },
      { ...there, event: 'signed out', by: ada.id },
    ])
  })

  test('who invites whom as what, who withdraws it, and who looks for what is not there for them', async () => {
    const made = await odile.post('/invitations', { role: 'steward' }, { headers: from })
    const { id: invitationId, url } = made.json()
    await odile.delete(`/invitations/${invitationId}`, { headers: from })
    const withdrawn = new URL(url).pathname
    await group.app.inject({ url: withdrawn, headers: from })
    await ada.get(`/rosters/${invitationId}`, { headers: from })
    const about = { level: info, by: odile.id, from: '203.0.113.7', invitationId }
    const refused = { level: warn, event: 'refused', from: '203.0.113.7', status: 404 }
    expect(events()).toEqual([
      { ...about, event: 'invitation made', role: 'steward' },
      { ...about, event: 'invitation withdrawn' },
      { ...refused, by: null, call: 'GET /invitations/:code' },
      { ...refused, by: ada.id, call: 'GET /api/v1/rosters/:id' },
    ])
    expect(lines.join('')).not.toContain(withdrawn.split('/').at(-1))
  })

  test('what no page of ours sends: unreadable, too large, of another kind, under another name', async () => {
    const send = (payload: string, headers: Record<string, string> = {}) =>
      group.app.inject({
        method: 'POST',
        url: '/api/v1/sessions',
        headers: { 'content-type': 'application/json', ...headers },
        payload,
      })
    await send('{"a":1,"a":2}')
    await send(JSON.stringify({ email: 'x'.repeat(300_000) }))
    await send('email=x', { 'content-type': 'application/x-www-form-urlencoded' })
    await send('{}', { host: 'elsewhere.example' })
    expect(events().map(({ status, call }) => [status, call])).toEqual(
      [400, 413, 415, 421].map((status) => [status, 'POST /api/v1/sessions']),
    )
  })

  test('one thing a line, whatever a stranger puts into what is logged (ASVS 16.4.1)', async () => {
    const forged = '","event":"signed in","memberId":"x'
    await group.app.inject({
      url: `/%0a{"event":"signed in"}?a=${forged}`,
      headers: { host: `a${forged}`, 'user-agent': forged },
    })
    expect(lines).not.toEqual([])
    for (const line of lines) expect(line.indexOf('\n')).toBe(line.length - 1)
    expect(events()).toMatchObject([{ event: 'refused', status: 421 }])
  })

  test('a form by which a forgotten password is set anew', async () => {
    const tove = await member(odile, 'Tove')
    const made = await odile.post(`/members/${tove.id}/way-back`)
    lines.length = 0
    await outsider(group.app).submit(new URL(made.json().url).pathname, { password: 'eight wet paper boats' })
    expect(events()).toMatchObject([
      { event: 'signed in', memberId: tove.id, proof: 'way back' },
      { event: 'password changed', by: null, memberId: tove.id },
    ])
  })

  test('who was refused what: what is not theirs, from another site, or not signed in where something was to change', async () => {
    await ada.get('/invitations', { headers: from })
    await ada.page('/settings/nothing')
    await ada.call('PATCH', '/me', { name: 'Eve' }, { headers: { ...from, 'sec-fetch-site': 'cross-site' } })
    await outsider(group.app).get('/me', { headers: from })
    await outsider(group.app).patch('/me', { name: 'Eve' }, { headers: from })
    const refused = { level: warn, event: 'refused', by: null, from: '203.0.113.7' }
    expect(events()).toEqual([
      { ...refused, by: ada.id, status: 403, call: 'GET /api/v1/invitations' },
      { ...refused, status: 403, call: 'PATCH /api/v1/me' },
      { ...refused, status: 401, call: 'PATCH /api/v1/me' },
    ])
  })

  test('who changed whose role, and let whom leave and come back', async () => {
    const etag = async () => ({
      headers: { ...from, 'if-match': String((await odile.get(`/members/${ben.id}`)).headers.etag) },
    })
    await odile.patch(`/members/${ben.id}`, { role: 'steward' }, await etag())
    await odile.patch(`/members/${ben.id}`, { role: 'steward' }, await etag())
    await odile.patch(`/members/${ben.id}`, { role: 'member' }, await etag())
    await odile.patch(`/members/${ben.id}`, { state: 'left' }, await etag())
    await odile.patch(`/members/${ben.id}`, { state: 'active' }, await etag())
    const about = { level: info, by: odile.id, from: '203.0.113.7', memberId: ben.id }
    expect(events()).toEqual([
      { ...about, event: 'role changed', was: 'member', role: 'steward' },
      { ...about, event: 'role changed', was: 'steward', role: 'member' },
      { ...about, event: 'member left' },
      { ...about, event: 'member back' },
    ])
  })

  test('both roles that change where the group is handed over', async () => {
    const heir = await member(odile, 'Heidi')
    lines.length = 0
    const version = /name="version" value="(\d+)"/.exec((await odile.page(`/members/${heir.id}`)).body)?.[1] ?? ''
    await odile.submit(`/members/${heir.id}/role`, { role: 'owner', version, once: 'hand-over' })
    expect(events()).toMatchObject([
      { event: 'role changed', by: odile.id, memberId: heir.id, was: 'member', role: 'owner' },
      { event: 'role changed', by: odile.id, memberId: odile.id, was: 'owner', role: 'steward' },
    ])
  })

  test('a wrong password of one’s own, a new one, and a new address', async () => {
    const mia = await member(odile, 'Mia')
    lines.length = 0
    await mia.patch('/me', { password: { old: 'a wrong guess at it', new: 'seven wet paper boats' } })
    expect(events()).toMatchObject([{ level: warn, event: 'password wrong', by: mia.id }])
    lines.length = 0
    const changed = await mia.patch('/me', { password: { old: password, new: 'seven wet paper boats' } })
    expect(events()).toMatchObject([
      { event: 'signed in', memberId: mia.id, proof: 'new password' },
      { event: 'password changed', by: mia.id },
    ])
    lines.length = 0
    const [cookie] = changed.cookies
    const again = Object.assign(outsider(group.app), { cookie: `${cookie?.name}=${cookie?.value}` })
    await again.patch('/me', { email: 'mia.elsewhere@group.example', password: { old: 'seven wet paper boats' } })
    expect(events()).toMatchObject([{ event: 'address changed', by: mia.id }])
    expect(lines.join('')).not.toMatch(/boats|guess|unrelated|elsewhere/)
  })
})

test('the log tells of guesses at the set-up code, and of too many', async () => {
  const { app, close } = await startApp({ logTo, logLevel: 'warn', asksSetupCode: true })
  lines.length = 0
  const fields = {
    groupName: 'Ours',
    currency: 'EUR',
    setupCode: 'a-guess',
    'owner.name': 'Odile',
    'owner.email': 'odile@group.example',
    'owner.password': password,
  }
  for (let turn = 0; turn <= setupTries.tries; turn++) await outsider(app).submit('/setup', fields)
  expect(events()).toMatchObject([
    ...Array.from({ length: setupTries.tries }, () => ({ level: warn, event: 'set-up code wrong', by: null })),
    { level: warn, event: 'refused', by: null, status: 429, call: 'POST /setup' },
  ])
  expect(lines.join('')).not.toMatch(/a-guess|unrelated|example/)
  await close()
})

test('the log tells why the database is away', async () => {
  const { app, close } = await startApp({ logTo, logLevel: 'error' })
  app.get('/away', { config: { access: 'public' } }, () => {
    throw Object.assign(new Error('nobody listens there'), { code: 'ECONNREFUSED' })
  })
  lines.length = 0
  expect((await outsider(app).page('/away')).statusCode).toBe(503)
  expect(lines.map((line) => JSON.parse(line))).toMatchObject([
    { level: 50, msg: 'the database is away', err: { message: 'nobody listens there' } },
  ])
  await close()
})
