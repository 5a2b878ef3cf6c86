import { randomBytes } from 'node:crypto'
import { connect } from 'node:net'
import { sql } from 'kysely'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type Db, openDatabase } from '../../db/connect.ts'
import { freshPlace } from '../support/database.ts'
import { type Answer, Client } from './client.ts'
import { buildProgram, openToOthers, type Program, setupCodeOf, startService } from './service.ts'

const { place, remove } = await freshPlace()
let program: Program
afterAll(async () => {
  program.remove()
  await remove()
})

/** Passwords that stand for nothing else, so that each can be looked for. */
const aPassword = (whose: string) => `${whose} ${randomBytes(9).toString('base64url')} tansy`
const passwords = {
  owners: aPassword('owner'),
  wrong: aPassword('wrong'),
  short: randomBytes(4).toString('hex'),
  adas: aPassword('ada'),
  adasNext: aPassword('next'),
  bens: aPassword('ben'),
  bensNext: aPassword('back'),
}
const secrets = new Map<string, string>(Object.entries(passwords))
/** Answers by what was asked, to look through. */
const answers: { of: string; answer: Answer }[] = []
let log = ''
let stored = ''

/** A client whose answers are kept. */
class Watched extends Client {
  override async send(method: string, path: string, body?: unknown, headers: Record<string, string> = {}) {
    const answer = await super.send(method, path, body, headers)
    answers.push({ of: `${method} ${path}`, answer })
    this.remember(answer.headers, `${method} ${path}`)
    return answer
  }

  private remember(headers: Headers, of: string): void {
    for (const cookie of headers.getSetCookie()) {
      const [, value] = /^[^=]+=([^;]+)/.exec(cookie) ?? []
      if (value) secrets.set(`a session of ${of}`, value)
    }
  }

  async form(path: string, fields: Record<string, string>) {
    const headers = {
      'content-type': 'application/x-www-form-urlencoded',
      origin: this.addressOf(),
      cookie: this.cookie,
    }
    const payload = new URLSearchParams(fields).toString()
    const answer = await fetch(`${this.addressOf()}${path}`, {
      method: 'POST',
      headers,
      body: payload,
      redirect: 'manual',
    })
    const text = await answer.text()
    const kept = { status: answer.status, headers: answer.headers, text, json: () => JSON.parse(text) }
    answers.push({ of: `form ${path}`, answer: kept })
    const [cookie] = answer.headers.getSetCookie()
    if (cookie) this.cookie = cookie.split(';')[0] ?? ''
    this.remember(answer.headers, `form ${path}`)
    return kept
  }
}

const codeOf = (answer: Answer) => String(answer.json().url).split('/').at(-1) ?? ''

/** Everything at which a secret passes through, once in order and once gone wrong, while all is logged. */
async function live(): Promise<void> {
  const service = await startService(program, place, { LOG_LEVEL: 'trace', ...(await openToOthers()) })
  const address = `http://127.0.0.1:${new URL(service.address).port}`
  const setupCode = await setupCodeOf(service)
  const someone = () => new Watched(() => address)

  const owner = someone()
  const group = (password: string) => ({
    groupName: 'The Thursday table',
    currency: 'EUR',
    setupCode,
    owner: { name: 'Odile', email: 'owner@group.example', password },
  })
  await owner.post('/setup', { ...group(passwords.wrong), setupCode: 'wrong-code-1' })
  await owner.post('/setup', group(passwords.short))
  expect((await owner.post('/setup', group(passwords.owners))).status).toBe(201)
  secrets.set('the set-up code', setupCode)

  const nobody = someone()
  const wrong = { email: 'owner@group.example', password: passwords.wrong }
  expect((await nobody.post('/sessions', wrong)).status).toBe(401)
  await nobody.form('/sign-in', wrong)
  await nobody.send('POST', `/api/v1/sessions?password=`, { ...wrong, extra: passwords.wrong })
  await fetch(`${address}/api/v1/sessions`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: `{"password":"${passwords.wrong}",,}`,
  })
  expect((await nobody.post('/sessions', { ...wrong, password: passwords.owners })).status).toBe(201)

  const forAda = codeOf(await owner.post('/invitations', {}, { 'idempotency-key': 'invite-ada' }))
  await owner.post('/invitations', {}, { 'idempotency-key': 'invite-ada' })
  const forBen = codeOf(await owner.post('/invitations', {}))
  secrets.set("Ada's invitation", forAda).set("Ben's invitation", forBen)
  const ada = someone()
  await ada.send('GET', `/invitations/${forAda}`)
  await ada.send('GET', `/sign-in?next=${encodeURIComponent(`/invitations/${forAda}`)}`)
  await ada.form(`/invitations/${forAda}`, { name: 'Ada', email: 'not an address', password: passwords.adas })
  await ada.form(`/invitations/${forAda}`, { name: 'Ada', email: 'ada@group.example', password: passwords.adas })
  const ben = someone()
  const joining = { name: 'Ben', email: 'ben@group.example', password: passwords.bens }
  await ben.post(`/invitations/${forBen}/accept`, { ...joining, email: 'ada@group.example' })
  await ben.post(`/invitations/${forBen}/accept`, joining)
  expect((await ada.get('/me')).status).toBe(200)

  await ada.form('/me/password', { 'password.old': passwords.wrong, 'password.new': passwords.adasNext, once: 'one' })
  const change = { 'password.old': passwords.adas, 'password.new': passwords.adasNext, once: 'two' }
  expect((await ada.form('/me/password', change)).status).toBe(303)
  await ada.form('/me/address', { email: 'a.da@group.example', 'password.old': passwords.adasNext, once: 'three' })
  await ada.send('PATCH', '/api/v1/me', { password: { old: passwords.wrong } })

  const back = codeOf(await owner.post(`/members/${(await ben.get('/me')).json().id}/way-back`))
  secrets.set("Ben's way back", back)
  await ben.send('GET', `/way-back/${back}`)
  await ben.form(`/way-back/${back}`, { password: passwords.short })
  expect((await ben.form(`/way-back/${back}`, { password: passwords.bensNext })).status).toBe(303)

  // Bytes that are no request, with a cookie in them.
  await new Promise((resolve) => {
    const socket = connect(Number(new URL(address).port), '127.0.0.1')
    socket.on('close', resolve).resume()
    socket.write(`GET / HTTP/1.1\r\nHost: x\r\nCookie: ${ada.cookie}\r\nBroken\u0000: x\r\n\r\n`)
  })
  for (const path of ['/', '/me', '/members', '/settings', '/api/v1/me', '/api/v1/members'])
    await Promise.all([owner, ada].map((one) => one.send('GET', path)))
  await ada.form('/sign-out', {})
  await service.end('SIGTERM')
  log = service.output()
}

async function allRows(db: Db): Promise<string> {
  const { rows: tables } = await sql<{ name: string }>`select tablename as name from pg_tables
    where schemaname not in ('pg_catalog', 'information_schema')`.execute(db)
  const { rows: schemas } = await sql<{ name: string }>`select schemaname || '.' || quote_ident(tablename) as name
    from pg_tables where schemaname not in ('pg_catalog', 'information_schema')`.execute(db)
  expect(tables.length).toBe(schemas.length)
  const dumps = []
  for (const { name } of schemas) {
    const { rows } = await sql<{ row: string }>`select to_jsonb(t)::text as row from ${sql.raw(name)} as t`.execute(db)
    dumps.push(...rows.map(({ row }) => row))
  }
  return dumps.join('\n')
}

beforeAll(async () => {
  program = await buildProgram()
  await live()
  const { db, close } = await openDatabase(place)
  stored = await allRows(db)
  await close()
})

/** Which of the secrets stand in a text, as they are or in a guise of the same letters. */
function foundIn(text: string): string[] {
  const guises = (secret: string) => [secret, encodeURIComponent(secret), Buffer.from(secret).toString('base64')]
  const bytes = (secret: string) => JSON.stringify([...Buffer.from(secret)]).slice(1, -1)
  return [...secrets]
    .filter(([, secret]) => [...guises(secret), bytes(secret)].some((guise) => text.includes(guise)))
    .map(([name]) => name)
}

test('there were secrets to be found', () => {
  expect(secrets.size).toBeGreaterThan(14)
  for (const [name, secret] of secrets) expect([name, secret.length >= 8]).toEqual([name, true])
  expect(log.split('\n').length).toBeGreaterThan(60)
  expect(stored.split('\n').length).toBeGreaterThan(10)
})

describe('the log, with everything that it can say', () => {
  test('has the set-up code once, for whoever started it, and no other secret', () => {
    const [, code = 'none'] = /asks for this code: (\S+)/.exec(log) ?? []
    expect(foundIn(log.replace(`asks for this code: ${code}`, ''))).toEqual([])
  })

  test('has no hash of a password, and no header', () => {
    expect(log).not.toMatch(/\$argon2|cookie|authorization|rawPacket/i)
  })
})

describe('the database', () => {
  test('has no secret as it was told', () => {
    expect(foundIn(stored)).toEqual([])
  })

  test('has passwords as argon2id hashes alone, and nothing that is quick to guess them by', () => {
    expect(stored.match(/"password_hash": "\$argon2id\$v=19\$m=19456,t=2,p=1\$/g)).toHaveLength(3)
    // What tells one pressed button from another is made from all that was sent, the password too.
    const pressed = stored.split('\n').filter((row) => /"key": "(one|two|three) /.test(row))
    expect(pressed.length).toBeGreaterThan(0)
    for (const row of pressed) expect(row).toMatch(/"body_hash": "\$argon2id\$v=19\$m=19456,t=2,p=1\$/)
  })
})

describe('an answer', () => {
  test('never has a password in it, nor its hash', () => {
    const isPassword = (name: string) => name in passwords
    const told = answers.flatMap(({ of, answer }) =>
      foundIn(answer.text)
        .filter(isPassword)
        .map((name) => [of, name]),
    )
    expect(told).toEqual([])
    expect(answers.filter(({ answer }) => answer.text.includes('$argon2'))).toEqual([])
  })

  test('tells a code to whoever makes it or comes with it, and to nobody else', () => {
    const told = answers.filter(({ answer }) => foundIn(answer.text).some((name) => /invitation|way back/.test(name)))
    expect([...new Set(told.map(({ of }) => of.replace(/[\w-]{36}|[\w-]{24}/, '…').split('?')[0]))].sort()).toEqual(
      [
        'GET /invitations/…',
        'GET /sign-in',
        'GET /way-back/…',
        'POST /api/v1/invitations',
        'POST /api/v1/members/…/way-back',
        'form /invitations/…',
        'form /way-back/…',
      ].sort(),
    )
  })

  test('tells a session to its browser alone, in a cookie that no script reads', () => {
    const told = answers.filter(({ answer }) => foundIn(answer.text).some((name) => name.startsWith('a session')))
    expect(told).toEqual([])
    const cookies = answers.flatMap(({ answer }) => answer.headers.getSetCookie())
    expect(cookies.length).toBeGreaterThan(4)
    for (const cookie of cookies) expect(cookie).toMatch(/HttpOnly/i)
    for (const cookie of cookies) expect(cookie).toMatch(/SameSite=Lax/i)
  })
})
