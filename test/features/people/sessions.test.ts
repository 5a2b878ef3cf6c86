import { createHash } from 'node:crypto'
import { hash } from '@node-rs/argon2'
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import type { Db } from '../../../db/connect.ts'
import { nextPath } from '../../../server/features/people/sessions/rules.ts'
import { passwordCost } from '../../../server/http/password-cost.ts'
import type { App } from '../../../server/http/route.ts'
import { leastCost, member, outsider, owner, type Person, password, startApp, usualCost } from '../../support/app.ts'
import { processorMs } from '../../support/growth.ts'

const day = 86_400_000
const ada = { email: 'ada@group.example', password }

describe('sessions', () => {
  let app: App
  let db: Db
  let close: () => Promise<void>
  let odile: Person
  const now = new Date()
  beforeAll(async () => {
    Object.assign(passwordCost, usualCost)
    ;({ app, db, close } = await startApp({ now: () => now, trustProxy: true }))
    odile = await owner(app)
    await member(odile, 'Ada')
    await member(odile, 'Ben')
  })
  afterAll(() => {
    Object.assign(passwordCost, leastCost)
    return close()
  })
  beforeEach(() => db.deleteFrom('attempt').execute())

  const signIn = (body: object = ada, headers: Record<string, string> = {}) =>
    outsider(app).post('/sessions', { ...body }, { headers })
  const cookieOf = (answer: Awaited<ReturnType<typeof signIn>>) =>
    `${answer.cookies[0]?.name}=${answer.cookies[0]?.value}`
  const me = (cookie: string, headers: Record<string, string> = {}) =>
    odile.get('/me', { headers: { cookie, ...headers } })

  test('the cookie is HttpOnly and SameSite=Lax (ASVS 3.3.2, 3.3.4)', async () => {
    const answer = await signIn()
    expect(answer.statusCode).toBe(201)
    expect(answer.body).not.toContain(String(answer.cookies[0]?.value))
    expect(answer.cookies).toHaveLength(1)
    expect(answer.cookies[0]).toMatchObject({ name: 'understudy_session', httpOnly: true, sameSite: 'Lax', path: '/' })
    expect(answer.cookies[0]?.secure).toBeUndefined()
    expect(answer.headers['strict-transport-security']).toBeUndefined()
  })

  test('behind TLS it is Secure and bound to this host, and the browser keeps to TLS (ASVS 3.3.1, 3.3.3, 3.4.1)', async () => {
    const tls = { 'x-forwarded-proto': 'https' }
    const answer = await signIn(ada, tls)
    expect(answer.cookies[0]).toMatchObject({
      name: '__Host-understudy_session',
      secure: true,
      httpOnly: true,
      path: '/',
    })
    expect(answer.cookies[0]).not.toHaveProperty('domain')
    expect(answer.headers['strict-transport-security']).toBe('max-age=31536000')
    expect((await me(cookieOf(answer), tls)).statusCode).toBe(200)
    const plain = await signIn()
    expect((await me(cookieOf(plain), tls)).statusCode).toBe(401)
  })

  test('without a proxy to trust nobody says by a header that it is TLS, or who asks (ASVS 4.1.3)', async () => {
    const bare = await startApp()
    const answer = await outsider(bare.app).page('/setup')
    expect(answer.statusCode).toBe(200)
    const claimed = await bare.app.inject({ url: '/setup', headers: { 'x-forwarded-proto': 'https' } })
    expect(claimed.headers['strict-transport-security']).toBeUndefined()
    await bare.close()
  })

  test('the id is long and random, and the table holds no more than its hash (ASVS 7.2.2, 7.2.3)', async () => {
    const [one, two] = [await signIn(), await signIn()]
    const [first = '', second = ''] = [one, two].map((answer) => answer.cookies[0]?.value)
    expect(first).not.toBe(second)
    // 25 bytes in base 32
    expect(first).toMatch(/^[a-z2-7]{40}$/)
    const rows = await db.selectFrom('session').selectAll().execute()
    expect(JSON.stringify(rows)).not.toContain(first)
    const hash = createHash('sha256').update(first).digest('base64url')
    expect(rows.map((row) => row.idHash)).toContain(hash)
    expect((await me(`understudy_session=${hash}`)).statusCode).toBe(401)
  })

  test('an unknown, forged or overlong id is nobody (ASVS 7.2.1)', async () => {
    for (const id of ['', 'x', 'a'.repeat(40), 'a'.repeat(10_000), '%00', '../..'])
      expect((await me(`understudy_session=${id}`)).statusCode).toBe(401)
  })

  test('passwords are kept as argon2id (ASVS 11.4.1)', async () => {
    const rows = await db.selectFrom('member').select('passwordHash').execute()
    // PHC string format: the parameters are OWASP's first choice (Password Storage Cheat Sheet, from memory)
    for (const { passwordHash } of rows) expect(passwordHash).toMatch(/^\$argon2id\$v=19\$m=19456,t=2,p=1\$/)
    expect(new Set(rows.map((row) => row.passwordHash)).size).toBe(rows.length)
  })

  test('a hash that was made at less cost is made anew at sign-in, also by many at once', async () => {
    const cheap = await hash(password, { memoryCost: 8192, timeCost: 1, parallelism: 1 })
    const set = (passwordHash: string) =>
      db.updateTable('member').set({ passwordHash }).where('email', '=', ada.email).execute()
    const kept = () =>
      db.selectFrom('member').select('passwordHash').where('email', '=', ada.email).executeTakeFirstOrThrow()
    await set(cheap)
    expect((await signIn({ ...ada, password: 'not her password' })).statusCode).toBe(401)
    expect((await kept()).passwordHash).toBe(cheap)
    const answers = await Promise.all(Array.from({ length: 5 }, () => signIn()))
    expect(answers.map(({ statusCode }) => statusCode)).toEqual([201, 201, 201, 201, 201])
    const { passwordHash } = await kept()
    expect(passwordHash).toMatch(/^\$argon2id\$v=19\$m=19456,t=2,p=1\$/)
    expect((await signIn()).statusCode).toBe(201)
    expect((await kept()).passwordHash).toBe(passwordHash)
    // What cost more than is usual now stays.
    await set(await hash(password, { memoryCost: 20_480, timeCost: 3, parallelism: 1 }))
    await signIn()
    expect((await kept()).passwordHash).toContain('m=20480,t=3')
  })

  test('signing in again is a new session, and the one before ends (ASVS 7.2.4)', async () => {
    const before = cookieOf(await signIn())
    const after = await outsider(app).post('/sessions', ada, { headers: { cookie: before } })
    expect(after.statusCode).toBe(201)
    expect((await me(before)).statusCode).toBe(401)
    expect((await me(cookieOf(after))).statusCode).toBe(200)
  })

  test('signing out ends the session on the server, by REST and by page (ASVS 7.4.1, 14.3.1)', async () => {
    const first = cookieOf(await signIn())
    const out = await outsider(app).delete('/sessions/current', { headers: { cookie: first } })
    expect(out.statusCode).toBe(204)
    expect(out.headers['clear-site-data']).toBe('"cache"')
    expect((await me(first)).statusCode).toBe(401)
    const second = cookieOf(await signIn())
    const page = await app.inject({
      method: 'POST',
      url: '/sign-out',
      headers: { cookie: second, 'sec-fetch-site': 'same-origin' },
    })
    expect(page.headers.location).toBe('/sign-in?said=signed-out')
    expect((await me(second)).statusCode).toBe(401)
    expect((await outsider(app).delete('/sessions/current')).statusCode).toBe(401)
    expect((await odile.page('/members')).body).toContain('action="/sign-out"')
  })

  test('a session expires, is renewed in its second half, and lasts half a year at most (ASVS 7.3.1, 7.3.2)', async () => {
    const cookie = cookieOf(await signIn())
    const idHash = createHash('sha256')
      .update(cookie.split('=')[1] ?? '')
      .digest('base64url')
    const set = (columns: { expiresAt?: Date; createdAt?: Date }) =>
      db.updateTable('session').set(columns).where('idHash', '=', idHash).execute()

    await set({ expiresAt: new Date(Date.now() + 20 * day) })
    expect((await me(cookie)).cookies).toEqual([])
    await set({ expiresAt: new Date(Date.now() + 14 * day) })
    const renewed = await me(cookie)
    expect(Number(renewed.cookies[0]?.expires?.getTime())).toBeGreaterThan(Date.now() + 29 * day)
    const [row] = await db.selectFrom('session').select('expiresAt').where('idHash', '=', idHash).execute()
    expect(Number(row?.expiresAt.getTime())).toBeGreaterThan(Date.now() + 29 * day)

    await set({ createdAt: new Date(Date.now() - 181 * day) })
    expect((await me(cookie)).statusCode).toBe(401)
    await set({ createdAt: new Date(), expiresAt: new Date(Date.now() - 1000) })
    expect((await me(cookie)).statusCode).toBe(401)
    await signIn()
    const left = await db.selectFrom('session').select('expiresAt').where('expiresAt', '<', new Date()).execute()
    expect(left).toEqual([])
  })

  test('wrong password and unknown address get the same answer for about the same work', async () => {
    const measure = async (body: object) => {
      let answer: Awaited<ReturnType<typeof signIn>> | undefined
      const took = await processorMs(async () => {
        answer = await signIn(body, { 'x-forwarded-for': `198.51.100.${Math.floor(Math.random() * 250)}` })
      })
      return { took, statusCode: answer?.statusCode, body: answer?.body }
    }
    const known: number[] = []
    const unknown: number[] = []
    for (let turn = 0; turn < 7; turn++) {
      const wrong = await measure({ ...ada, password: 'not her password' })
      const nobody = await measure({ email: `nobody${turn}@group.example`, password: 'not her password' })
      known.push(wrong.took)
      unknown.push(nobody.took)
      expect(wrong.statusCode).toBe(401)
      expect(nobody.body).toBe(wrong.body)
    }
    const median = (all: number[]) => all.toSorted((a, b) => a - b)[3] ?? 0
    // Without the decoy hash an unknown address is answered in a small fraction of the time.
    expect(median(unknown)).toBeGreaterThan(median(known) / 3)
  })

  test('an address is found in any case and with blanks around it', async () => {
    for (const email of ['ADA@group.example', ' Ada@Group.Example '])
      expect((await signIn({ email, password })).statusCode).toBe(201)
  })

  test('refuses what is no pair of address and password, without a fuss', async () => {
    const cases: [object, number][] = [
      [{ email: 'ada@group.example' }, 422],
      [{ ...ada, password: '' }, 422],
      [{ ...ada, password: 'x'.repeat(201) }, 422],
      [{ ...ada, email: `${'x'.repeat(200)}@group.example` }, 422],
      [{ ...ada, email: 'ada\u0000@group.example' }, 422],
      [{ ...ada, remember: true }, 422],
      [{ ...ada, password: '\ud800'.repeat(20) }, 401],
      [{ ...ada, email: "' or 1=1 --" }, 401],
      [{ ...ada, password: password.toUpperCase() }, 401],
    ]
    for (const [body, status] of cases) expect((await signIn(body)).statusCode, JSON.stringify(body)).toBe(status)
  })

  describe('the origin of a change (ASVS 3.5.1, 3.5.3)', () => {
    const attempt = (headers: Record<string, string>) =>
      app.inject({
        method: 'PATCH',
        url: '/api/v1/me',
        payload: { defaultCrowding: 'about full' },
        headers: { cookie: String(odile.cookie), ...headers },
      })

    test('is asked of every change that a cookie carries', async () => {
      expect((await attempt({})).statusCode).toBe(403)
      for (const site of ['cross-site', 'same-site', 'none'])
        expect((await attempt({ 'sec-fetch-site': site })).statusCode, site).toBe(403)
      for (const origin of ['https://elsewhere.example', 'null', 'http://localhost:81', 'https://localhost:80'])
        expect((await attempt({ origin })).statusCode, origin).toBe(403)
      expect((await attempt({ origin: 'http://localhost:80' })).statusCode).toBe(200)
      expect((await attempt({ 'sec-fetch-site': 'same-origin' })).statusCode).toBe(200)
    })

    test('counts before the cookie: nobody is signed in from another site', async () => {
      expect((await signIn(ada, { 'sec-fetch-site': 'cross-site' })).statusCode).toBe(403)
      const form = { 'content-type': 'application/x-www-form-urlencoded', origin: 'https://elsewhere.example' }
      const answer = await app.inject({ method: 'POST', url: '/sign-in', headers: form, payload: '' })
      expect(answer.statusCode).toBe(403)
    })

    test('a form posted to the API is not taken for JSON (ASVS 3.5.2)', async () => {
      for (const type of ['text/plain', 'application/x-www-form-urlencoded', 'multipart/form-data; boundary=x']) {
        const headers = { 'content-type': type, cookie: String(odile.cookie), 'sec-fetch-site': 'same-origin' }
        const answer = await app.inject({ method: 'POST', url: '/api/v1/units', headers, payload: '{"name":"x"}' })
        expect(answer.statusCode, type).toBe(415)
      }
    })

    test('reading changes nothing: a GET at a form’s address is no change', async () => {
      for (const url of ['/sign-out', '/me/leave', '/me/sign-out-others'])
        expect((await odile.page(url)).statusCode).toBe(404)
      expect((await odile.get('/me')).statusCode).toBe(200)
    })
  })

  describe('after signing in by page', () => {
    test('one goes where one wanted to, never to another site (ASVS 3.7.2)', async () => {
      for (const next of ['/units?q=a%20b', '/requests/new', '/']) expect(nextPath(next)).toBe(next)
      for (const next of [
        '//elsewhere.example',
        '/\\elsewhere.example',
        '\\\\elsewhere.example',
        'https://elsewhere.example',
        '/\t/elsewhere.example',
        '/\n/elsewhere.example',
        ' //elsewhere.example',
        'javascript:alert(1)',
        '',
        'elsewhere.example',
        '/a\r\nset-cookie: a=b',
        '/\u2028',
        undefined,
        ['/units'],
        5,
      ])
        expect(nextPath(next), String(next)).toBe('/')
      const answer = await outsider(app).submit('/sign-in', { ...ada, next: '//elsewhere.example' })
      expect(answer.headers.location).toBe('/')
      const fine = await outsider(app).submit('/sign-in', { ...ada, next: '/members' })
      expect(fine.headers.location).toBe('/members')
    })

    test('a refused one comes back with the address, the way on and no password (ASVS 6.2.6)', async () => {
      const answer = await outsider(app).submit('/sign-in', { ...ada, password: 'not "this" one', next: '/members' })
      expect(answer.statusCode).toBe(422)
      expect(answer.body).toContain('value="ada@group.example"')
      expect(answer.body).toContain('name="next" value="/members"')
      expect(answer.body).toContain('type="password"')
      expect(answer.body).not.toContain('not &quot;this')
      expect(answer.headers['set-cookie']).toBeUndefined()
    })

    test('what the address says is shown as text (ASVS 1.2.1, 3.2.2)', async () => {
      const answer = await outsider(app).submit('/sign-in', { email: '"><script>x</script>', password: 'x' })
      expect(answer.body).not.toContain('<script>x')
      expect((await outsider(app).page('/sign-in?said=<script>x</script>')).body).not.toContain('<script>x')
      expect((await outsider(app).page('/sign-in?said=constructor')).statusCode).toBe(200)
    })
  })

  test('every answer carries the headers that keep a browser to its page (ASVS 3.4.3, 3.4.4, 3.4.5, 3.4.6, 14.3.2)', async () => {
    const answers = [
      await odile.page('/members'),
      await odile.get('/me'),
      await outsider(app).page('/sign-in'),
      await odile.get('/nowhere'),
    ]
    for (const { headers } of answers) {
      const policy = String(headers['content-security-policy'])
      for (const directive of [
        "default-src 'none'",
        "object-src 'none'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
        "script-src 'self'",
        "worker-src 'self'",
      ])
        expect(policy).toContain(directive)
      expect(policy).not.toContain('unsafe')
      expect(headers['x-frame-options']).toBeUndefined()
      expect(headers['permissions-policy']).toMatch(/\bcamera=\(\), .*\bgeolocation=\(\), .*\bmicrophone=\(\), /)
      expect(headers['x-content-type-options']).toBe('nosniff')
      expect(headers['referrer-policy']).toBe('same-origin')
      expect(headers['cache-control']).toBe('no-store')
      expect(headers['access-control-allow-origin']).toBeUndefined()
      expect(headers['content-type']).toMatch(/charset=utf-8|problem\+json/)
    }
  })

  test('under an address where nothing is, who is signed in stays so, and nobody else is', async () => {
    const lost = await odile.page('/no-such-page')
    expect(lost.statusCode).toBe(404)
    expect(lost.body).toContain('Sign out')
    expect(lost.body).toContain('>the open requests</a>')
    expect(lost.body).not.toContain('Sign in')
    const outside = await outsider(app).page('/no-such-page')
    expect(outside.statusCode).toBe(404)
    expect(outside.body).toContain('Sign in')
    expect((await odile.get('/no-such-thing')).statusCode).toBe(404)
  })

  test('a browser or a program that keeps passwords may fill them in (ASVS 6.2.6, 6.2.7)', async () => {
    const { body } = await outsider(app).page('/sign-in')
    expect(body).toContain('type="password" autocomplete="current-password"')
    expect((await odile.page('/me')).body).toContain('type="password" autocomplete="new-password"')
    expect(body).not.toMatch(/\son\w+=/)
  })

  test('the sign-in page gets its style sheet without being signed in', async () => {
    const sheet = await outsider(app).page('/assets/tsconfig.json')
    expect(sheet.statusCode).toBe(200)
    expect(sheet.headers['cache-control']).toContain('immutable')
    // No list of what is there (ASVS 13.4.3).
    for (const folder of ['/assets', '/assets/', '/assets/support/'])
      expect((await outsider(app).page(folder)).statusCode).toBe(404)
    expect((await outsider(app).page('/assets/../../package.json')).statusCode).toBe(404)
    expect((await outsider(app).page('/.git/config')).statusCode).toBe(404)
  })
})
