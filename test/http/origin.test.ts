import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Db } from '../../db/connect.ts'
import { buildApp } from '../../server/app.ts'
import { readConfig } from '../../server/config.ts'
import type { App } from '../../server/http/route.ts'
import { owner, type Person, startApp } from '../support/app.ts'
import { noBundles } from '../support/no-assets.ts'

const publicUrl = 'https://understudy.example'

/** Asks as somebody whose browser, or whose proxy, says so of the host. */
const get = (app: App, url: string, headers: Record<string, string>) => app.inject({ method: 'GET', url, headers })

describe('with an address of its own', () => {
  let app: App
  let close: () => Promise<void>
  let odile: Person
  const ours = { host: 'understudy.example' }
  beforeAll(async () => {
    ;({ app, close } = await startApp({ publicUrl, trustProxy: true }))
    odile = await owner(app, 'EUR', ours)
  })
  afterAll(() => close())

  test.each([
    'elsewhere.example',
    'understudy.example.elsewhere.example',
    'understudy.example:8648',
    'localhost',
    '127.0.0.1',
    'understudy.example@elsewhere.example',
    'understudy.example/',
    'understudy.example.',
    '',
    ' ',
    '[::1',
  ])('asked for as %j it is another', async (host) => {
    for (const url of ['/', '/sign-in', '/assets/app.js', '/nowhere']) {
      const answer = await get(app, url, { host, cookie: odile.cookie ?? '' })
      expect([url, answer.statusCode, answer.headers['content-type']]).toEqual([url, 421, 'text/html; charset=utf-8'])
      expect(answer.body).toContain('It is at https://understudy.example/')
      expect(answer.body).not.toContain('The Thursday table')
    }
    const api = await get(app, '/api/v1/units', { host })
    expect([api.statusCode, api.json().title]).toEqual([421, 'This is the wrong address'])
  })

  test.each(['understudy.example', 'Understudy.Example', 'understudy.example:443'])(
    'asked for as %s it is there',
    async (host) => {
      expect((await get(app, '/sign-in', { host })).statusCode).toBe(200)
    },
  )

  test('whatever watches it may know it by another name', async () => {
    for (const url of ['/health/live', '/health/ready'])
      expect((await get(app, url, { host: '127.0.0.1:8648' })).statusCode).toBe(200)
  })

  test('links lead there, whatever a request says of hosts', async () => {
    const headers = {
      ...ours,
      'x-forwarded-host': 'elsewhere.example',
      'x-forwarded-proto': 'https',
      forwarded: 'host=x',
    }
    const invitation = await odile.post('/invitations', {}, { headers })
    expect(invitation.json().url).toMatch(/^https:\/\/understudy\.example\/invitations\/[\w-]+$/)
    const page = await odile.submit('/members/invitations', { role: 'member', uses: '1', expiresInDays: '7' }, headers)
    expect(page.body).toMatch(/https:\/\/understudy\.example\/invitations\/[\w-]+</)
    expect(page.body).not.toContain('elsewhere.example')
  })

  test('a change comes from there, or from nowhere of ours', async () => {
    const change = async (headers: Record<string, string>) => {
      const sent = { ...ours, cookie: odile.cookie ?? '', ...headers }
      return (await app.inject({ method: 'POST', url: '/api/v1/invitations', headers: sent, payload: {} })).statusCode
    }
    expect(await change({ origin: publicUrl })).toBe(201)
    for (const origin of ['http://understudy.example', 'https://understudy.example:8648', 'https://elsewhere.example'])
      expect([origin, await change({ origin })]).toEqual([origin, 403])
    const forwarded = { 'x-forwarded-host': 'elsewhere.example', 'x-forwarded-proto': 'https' }
    expect(await change({ ...forwarded, origin: 'https://elsewhere.example' })).toBe(403)
  })

  test('cookies are for TLS alone, since it is reached by nothing else', async () => {
    expect(odile.cookie).toMatch(/^__Host-/)
    expect((await get(app, '/sign-in', ours)).headers['strict-transport-security']).toBe('max-age=31536000')
  })

  test('who came to the proxy without TLS is led to it on a page, and told nothing else (ASVS 4.1.2, 12.2.1)', async () => {
    const plain = { ...ours, 'x-forwarded-proto': 'http', cookie: odile.cookie ?? '' }
    for (const url of ['/units?q=otters', '//elsewhere.example/', '/sign-in']) {
      const page = await get(app, url, plain)
      expect([page.statusCode, page.headers.location, page.body]).toEqual([308, `${publicUrl}${url}`, ''])
    }
    const refused = [
      await get(app, '/api/v1/me', plain),
      await app.inject({ method: 'POST', url: '/sign-in', headers: { ...plain, origin: publicUrl }, payload: {} }),
      await app.inject({ method: 'POST', url: '/api/v1/sessions', headers: plain, payload: {} }),
    ]
    for (const answer of refused) {
      expect([answer.statusCode, answer.headers.location]).toEqual([421, undefined])
      expect(answer.body).toContain('Anybody along the way could read this')
    }
    expect((await get(app, '/sign-in', { ...ours, 'x-forwarded-proto': 'https' })).statusCode).toBe(200)
    expect((await get(app, '/health/ready', plain)).statusCode).toBe(200)
  })
})

describe('on this machine alone', () => {
  let app: App
  let close: () => Promise<void>
  let db: Db
  beforeAll(async () => ({ app, db, close } = await startApp()))
  afterAll(() => close())

  test.each(['localhost', 'localhost:8648', '127.0.0.1:9000', '[::1]:8648'])('it may be called %s', async (host) => {
    expect((await get(app, '/setup', { host })).statusCode).toBe(200)
  })

  // A name that leads to this machine and is another's: by it a page of theirs would be of the same origin as ours.
  test.each(['rebound.example', '127.0.0.1.rebound.example:8648', '192.0.2.7', '0.0.0.0:8648'])(
    'but not %s',
    async (host) => {
      expect((await get(app, '/setup', { host })).statusCode).toBe(421)
    },
  )

  test.each([
    { 'x-forwarded-for': '203.0.113.7' },
    { forwarded: 'for=203.0.113.7' },
    { 'x-real-ip': '203.0.113.7' },
    { via: '1.1 gate' },
    { 'X-Forwarded-Host': 'understudy.example' },
  ])('what a proxy hands on under its name is answered by nothing: %j', async (headers) => {
    for (const url of ['/setup', '/sign-in', '/api/v1/openapi.json', '/assets/app.js', '/nowhere']) {
      const answer = await get(app, url, { host: '127.0.0.1:8648', ...headers })
      expect([url, answer.statusCode, answer.body.includes('PUBLIC_URL')]).toEqual([url, 421, true])
    }
    const signIn = { method: 'POST', url: '/api/v1/sessions', payload: {} } as const
    expect((await app.inject({ ...signIn, headers: { host: 'localhost', ...headers } })).statusCode).toBe(421)
    expect((await get(app, '/health/ready', headers)).statusCode).toBe(200)
  })

  test('so is what a proxy hands on where the address is of this machine, unless the proxy is trusted', async () => {
    const parts = { db, publicUrl: 'https://localhost', assets: { folder: import.meta.dirname, manifest: noBundles } }
    const by = { host: 'localhost', 'x-forwarded-for': '203.0.113.7' }
    for (const [trustProxy, status] of [
      [false, 421],
      [true, 200],
    ] as const) {
      const local = await buildApp({ ...parts, trustProxy })
      expect((await get(local, '/setup', by)).statusCode).toBe(status)
      await local.close()
    }
  })

  test('links lead to where it listens', async () => {
    const odile = await owner(app)
    const linked = async () => (await odile.post('/invitations', {}, { headers: { host: 'localhost:1' } })).json().url
    expect(await linked()).toMatch(/^http:\/\/localhost\/invitations\//)
    await app.listen({ port: 0, host: '127.0.0.1' })
    expect(await linked()).toContain(`${app.listeningOrigin}/invitations/`)
  })
})

describe('without TLS', () => {
  const away = { HOST: '0.0.0.0', PUBLIC_URL: 'http://192.0.2.7:8648' }

  test('it serves nobody beyond this machine, unless that is said (ASVS 3.3.1, 12.2.1)', () => {
    for (const env of [away, { ...away, PLAIN_HTTP: 'off' }, { ...away, HOST: '', TRUST_PROXY: 'on' }])
      expect(() => readConfig(env)).toThrow(/^PUBLIC_URL can't be used: over http:.*PLAIN_HTTP=on/)
    expect(readConfig({ ...away, PLAIN_HTTP: 'on' }).publicUrl).toBe('http://192.0.2.7:8648')
  })

  test('this machine reaches itself, and TLS needs no leave', () => {
    expect(readConfig({ ...away, PUBLIC_URL: 'http://127.0.0.1:8648' }).publicUrl).toBe('http://127.0.0.1:8648')
    expect(readConfig({ ...away, PUBLIC_URL: publicUrl }).publicUrl).toBe(publicUrl)
  })
})
