import { afterAll, describe, expect, test } from 'vitest'
import { calls, isChange } from './calls.ts'
import { startCast } from './cast.ts'

const cast = await startCast()
afterAll(cast.close)

const changes = Object.entries(calls).filter(([route]) => isChange(route))

/** What a browser sends along when another site's page, or none, makes it send something. */
const foreign: [string, Record<string, string>][] = [
  ['nothing that says where from', {}],
  ['cross-site', { 'sec-fetch-site': 'cross-site' }],
  ['a neighbour on the same domain', { 'sec-fetch-site': 'same-site' }],
  ['typed into the address bar', { 'sec-fetch-site': 'none' }],
  ['no value', { 'sec-fetch-site': '' }],
  ['twice', { 'sec-fetch-site': 'same-origin, cross-site' }],
  ['another origin', { origin: 'https://elsewhere.example' }],
  ['another port', { origin: 'http://localhost:81' }],
  ['another scheme', { origin: 'https://localhost:80' }],
  ['an origin that begins like ours', { origin: 'http://localhost:80.elsewhere.example' }],
  ['an opaque origin', { origin: 'null' }],
  ['another origin in a page that says it is ours', { 'sec-fetch-site': 'cross-site', origin: 'http://localhost:80' }],
]

function change(route: string, headers: Record<string, string>) {
  const [method = '', pattern = ''] = route.split(' ')
  const url = pattern.replace(/:\w+/g, '01890000-0000-7000-8000-000000000000')
  return cast.app.inject({ method: method as 'POST', url, headers })
}

describe("a change that comes with a member's cookie", () => {
  test.each(foreign)('and %s is refused everywhere', async (_, headers) => {
    const { cookie = '' } = cast.owner
    const answers = await Promise.all(
      changes.map(async ([route]) => {
        const { statusCode, body } = await change(route, { cookie, ...headers })
        return [route, statusCode, body.includes('did not come from one of our pages')]
      }),
    )
    expect(answers).toEqual(changes.map(([route]) => [route, 403, true]))
    expect((await cast.owner.get('/me')).statusCode).toBe(200)
  })

  test.each([
    { origin: 'http://localhost:80' },
    { 'sec-fetch-site': 'same-origin' },
    // The header of the fetch specification decides where a browser sends both.
    { 'sec-fetch-site': 'same-origin', origin: 'http://localhost:80' },
  ])('and from a page of ours is let in: %j', async (headers) => {
    const { cookie = '' } = cast.author
    const payload = JSON.stringify({ name: `Tern ${JSON.stringify(headers)}`.slice(0, 100), scaleMm: 28 })
    const sent = { cookie, 'content-type': 'application/json', ...headers }
    const answer = await cast.app.inject({ method: 'POST', url: '/api/v1/units', headers: sent, payload })
    expect(answer.statusCode).toBe(201)
  })
})

describe('a change without a cookie', () => {
  const isOpen = ([, { may }]: (typeof changes)[number]) => may[0] !== 401 || may[1] === 401
  const open = changes.filter(isOpen).map(([route]) => route)

  test('is what signing in, joining and setting up are', () => {
    expect(open.length).toBeGreaterThan(8)
  })

  test('signs nobody in from another site', async () => {
    for (const headers of [{ origin: 'https://elsewhere.example' }, { 'sec-fetch-site': 'cross-site' }]) {
      const statuses = await Promise.all(open.map(async (route) => (await change(route, headers)).statusCode))
      expect(statuses).toEqual(open.map(() => 403))
    }
  })

  test('is let in from a program, which says nothing of origins', async () => {
    const statuses = await Promise.all(open.map(async (route) => (await change(route, {})).statusCode))
    expect(statuses).not.toContain(403)
  })
})
