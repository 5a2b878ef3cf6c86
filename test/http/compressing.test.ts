import { brotliDecompressSync, gunzipSync, gzipSync } from 'node:zlib'
import { afterAll, describe, expect, test } from 'vitest'
import { startGroup } from '../support/app.ts'

const { app, odile, ada, close } = await startGroup()
afterAll(close)

const ask = (url: string, accepts?: string, more: object = {}) =>
  app.inject({
    url,
    headers: { cookie: ada.cookie ?? '', ...(accepts !== undefined && { 'accept-encoding': accepts }) },
    ...more,
  })

describe('answers', () => {
  test('are packed as the browser takes them, and say that it depends on that', async () => {
    const plain = await ask('/help')
    expect(plain.headers['content-encoding']).toBeUndefined()
    const br = await ask('/help', 'gzip, deflate, br')
    const gzip = await ask('/help', 'gzip')
    expect([br.headers['content-encoding'], gzip.headers['content-encoding']]).toEqual(['br', 'gzip'])
    expect(brotliDecompressSync(br.rawPayload).toString()).toBe(plain.body)
    expect(gunzipSync(gzip.rawPayload).toString()).toBe(plain.body)
    expect(String(br.headers.vary)).toContain('accept-encoding')
    expect(br.headers['content-security-policy']).toBe(plain.headers['content-security-policy'])
    expect(brotliDecompressSync((await ask('/api/v1/openapi.json', 'br')).rawPayload).toString()).toContain('"openapi"')
  })

  test.each(['identity', 'zip', 'br;q=0, gzip;q=0', '*;q=0', ',;=', ''])(
    'are plain for who takes “%s”',
    async (accepts) => {
      const answer = await ask('/help', accepts)
      expect([answer.statusCode, answer.headers['content-encoding'] ?? 'plain']).toEqual([200, 'plain'])
      expect(answer.body).toContain('</html>')
    },
  )

  test('refusals and pages that are not there are readable as well', async () => {
    const answer = await ask('/units/not-there', 'br')
    const body =
      answer.headers['content-encoding'] === 'br' ? brotliDecompressSync(answer.rawPayload).toString() : answer.body
    expect([answer.statusCode, body.includes('</html>')]).toEqual([404, true])
  })

  test('that tell a code are as long as they are', async () => {
    const headers = { cookie: odile.cookie ?? '', 'accept-encoding': 'br', 'sec-fetch-site': 'same-origin' }
    const payload = { role: 'member', expiresInDays: 7, uses: 1 }
    const api = await app.inject({ method: 'POST', url: '/api/v1/invitations', headers, payload })
    expect([api.statusCode, api.headers['content-encoding']]).toEqual([201, undefined])
    const form = { ...headers, 'content-type': 'application/x-www-form-urlencoded' }
    const page = await app.inject({
      method: 'POST',
      url: '/members/invitations',
      headers: form,
      payload: 'role=member&expiresInDays=7&uses=1',
    })
    expect(page.headers['content-encoding']).toBeUndefined()
    expect(page.body).toContain('/invitations/')
  })

  test('bodies that come in are not unpacked: a megabyte in a kilobyte is refused as what it is', async () => {
    const payload = gzipSync(JSON.stringify({ name: 'a'.repeat(1_000_000), scaleMm: 28 }))
    const headers = {
      cookie: ada.cookie ?? '',
      'content-encoding': 'gzip',
      'content-type': 'application/json',
      'sec-fetch-site': 'same-origin',
    }
    const answer = await app.inject({ method: 'POST', url: '/api/v1/units', headers, payload })
    expect(answer.statusCode).toBeGreaterThanOrEqual(400)
    expect(answer.statusCode).toBeLessThan(500)
    expect(answer.body).not.toContain('/name')
  })
})
