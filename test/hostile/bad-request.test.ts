import { afterAll, describe, expect, test } from 'vitest'
import { outsider, startApp } from '../support/app.ts'
import { leak } from './calls.ts'
import { startCast } from './cast.ts'
import { refusal } from './refusal.ts'
import { things } from './things.ts'

const cast = await startCast()
afterAll(cast.close)

let count = 0

describe('JSON', () => {
  const raw = (payload: string | Buffer, type = 'application/json') =>
    cast.app.inject({
      method: 'POST',
      url: '/api/v1/units',
      headers: { cookie: cast.author.cookie ?? '', 'sec-fetch-site': 'same-origin', 'content-type': type },
      payload,
    })

  test.each([
    ['the same key twice', '{"name":"a","name":"b","scaleMm":28}'],
    ['twice, once in disguise', '{"name":"a","n\\u0061me":"b","scaleMm":28}'],
    ['twice within', '{"name":"a","scaleMm":28,"base":{"shape":"round","shape":"oval"}}'],
    ['__proto__', '{"__proto__":{"name":"a"},"scaleMm":28}'],
    ['__proto__ in disguise', '{"\\u005f_proto__":{"name":"a"},"scaleMm":28}'],
    ['__proto__ within', '{"name":"a","scaleMm":28,"base":{"__proto__":{"shape":"round"}}}'],
    ['constructor', '{"constructor":{"prototype":{"name":"a"}}}'],
    ['prototype', '{"prototype":1}'],
    ['depth', `{"aliases":${'['.repeat(33)}${']'.repeat(33)}}`],
    ['a hundred thousand brackets', '['.repeat(100_000)],
    ['a hundred thousand objects', '{"a":'.repeat(50_000)],
    ['a comment', '{"name":"a"/**/,"scaleMm":28}'],
    ['a comma too many', '{"name":"a","scaleMm":28,}'],
    ['single quotes', "{'name':'a'}"],
    ['no quotes', '{name:"a"}'],
    ['NaN', '{"name":"a","scaleMm":NaN}'],
    ['a leading zero', '{"name":"a","scaleMm":028}'],
    ['two values', '{"name":"a","scaleMm":28}{}'],
    ['half of it', '{"name":"a"'],
    ['a raw line break in a text', '{"name":"a\nb","scaleMm":28}'],
    ['blanks alone', '   '],
    ['words', 'name=a'],
  ])('with %s cannot be read', async (_, text) => {
    expect(refusal(await raw(text))).toEqual([400])
  })

  test.each([
    ['nothing', ''],
    ['null', 'null'],
    ['a list', '[]'],
    ['a text', '"name"'],
    ['a number', '1e999'],
  ])('that is %s is no unit', async (_, text) => {
    expect(refusal(await raw(text))).toEqual([422, ''])
  })

  test('nested just deep enough is read, and refused for what it is', async () => {
    const text = `{"name":"a","scaleMm":28,"aliases":${'['.repeat(31)}${']'.repeat(31)}}`
    expect(refusal(await raw(text))).toEqual([422, '/aliases/0'])
  })

  test('of 256 KiB is read, of one byte more it is too large', async () => {
    const filled = (bytes: number) => {
      const around = '{"name":"","scaleMm":28}'.length
      return `{"name":"${'x'.repeat(bytes - around)}","scaleMm":28}`
    }
    expect(refusal(await raw(filled(256 * 1024)))).toEqual([422, '/name'])
    expect(refusal(await raw(filled(256 * 1024 + 1)))).toEqual([413])
    const form = { name: 'x'.repeat(256 * 1024), scaleMm: '28' }
    const answer = await cast.author.submit('/units/new', form)
    expect([answer.statusCode, answer.headers['content-type']]).toEqual([413, 'text/html; charset=utf-8'])
  })

  test('of too many bytes is told how many there may be, by the route that it is for', async () => {
    const text = 'x'.repeat(2 * 1024 * 1024)
    for (const [path, most] of [
      ['/units', '256 KiB'],
      ['/rosters', '2 MiB'],
    ] as const) {
      const answer = await cast.author.post(path, { name: 'a', text })
      expect([path, answer.statusCode, answer.json().detail]).toEqual([path, 413, `At most ${most}, please.`])
      const page = await cast.author.submit(`${path}/new`, { name: 'a', text })
      expect([page.statusCode, page.body.includes(`At most ${most}, please.`)]).toEqual([413, true])
    }
  })

  test('has at most fifty errors to say, however many there are', async () => {
    const many = JSON.stringify(Object.fromEntries(Array.from({ length: 20_000 }, (_, i) => [`a${i}`, 0])))
    expect((await raw(many)).json().errors).toHaveLength(50)
  })

  test.each([
    'text/plain',
    'application/x-www-form-urlencoded',
    'multipart/form-data; boundary=x',
    'application/xml',
    'application/jsonx',
    'application/merge-patch+json',
    'json',
    '/',
    ';',
  ])('called %s is not taken', async (type) => {
    expect(refusal(await raw('{"name":"a","scaleMm":28}', type))).toEqual([415])
  })

  test('may say its charset', async () => {
    const name = `Sedge Voles ${++count}`
    expect(refusal(await raw(JSON.stringify({ name, scaleMm: 28 }), 'Application/JSON; charset=utf-8'))).toEqual([201])
  })
})

describe('headers', () => {
  test.each(['"0"', '"2"', '1', 'W/"1"', '"1", "2"', '"abc"', '""', '"-1"', '"1', `"${'1'.repeat(400)}"`, 'null'])(
    'If-Match: %s is not the state that is there',
    async (value) => {
      const { id } = await things.unit(cast.author)
      const change = cast.author.patch(`/units/${id}`, { modelsPerUnit: 2 }, { headers: { 'if-match': value } })
      expect(refusal(await change)).toEqual([412])
    },
  )

  test("If-Match is asked for another's thing, and may be any state", async () => {
    const { id } = await things.unit(cast.author)
    expect(refusal(await cast.steward.patch(`/units/${id}`, { modelsPerUnit: 2 }))).toEqual([428])
    for (const value of ['*', ' "2" ', '"3"'])
      expect(
        refusal(await cast.steward.patch(`/units/${id}`, { modelsPerUnit: 2 }, { headers: { 'if-match': value } })),
      ).toEqual([200])
  })

  test.each(['a b', 'x'.repeat(201), 'é', 'tab\there', 'one, two'])(
    'Idempotency-Key: %s cannot be read',
    async (key) => {
      const body = { name: `Sedge Owls ${++count}`, scaleMm: 28 }
      expect(refusal(await cast.author.post('/units', body, { headers: { 'idempotency-key': key } }))).toEqual([400])
    },
  )

  test('an Idempotency-Key belongs to one call of one member', async () => {
    const headers = { 'idempotency-key': 'the-same' }
    const body = { name: 'Sedge Larks', scaleMm: 28 }
    const post = async (over = {}, by = cast.author, path = '/units') =>
      refusal(await by.post(path, { ...body, ...over }, { headers }))
    expect(await post()).toEqual([201])
    expect(await post()).toEqual([201])
    expect(await post({ scaleMm: 32 })).toEqual([422])
    expect(await post({}, cast.author, '/files')).toEqual([422, '/title', '/name'])
    expect(await post({ name: 'Sedge Terns' }, cast.other)).toEqual([201])
    expect(await post({}, cast.other)).toEqual([422])
    expect(await post({}, outsider(cast.app))).toEqual([401])
  })

  test.each([
    'understudy_session=',
    'understudy_session=%',
    'understudy_session=%00',
    'understudy_session=__proto__',
    `understudy_session=${'a'.repeat(3_000)}`,
    '__proto__=x; constructor=y',
    '; ; =; =x',
    '\u00ff\u00fe',
  ])('Cookie: %s signs nobody in', async (cookie) => {
    const headers = { cookie, 'sec-fetch-site': 'same-origin' }
    const [api, page] = await Promise.all(
      ['/api/v1/me', '/me'].map((url) => cast.app.inject({ method: 'GET', url, headers })),
    )
    expect([api?.statusCode, page?.statusCode]).toEqual([401, 303])
  })
})

describe('a list', () => {
  test.each([
    ['limit=0', '/limit'],
    ['limit=101', '/limit'],
    ['limit=-1', '/limit'],
    ['limit=abc', '/limit'],
    ['limit=1.5', '/limit'],
    ['limit=', '/limit'],
    ['limit=1&limit=2', '/limit'],
    ['after=x', '/after'],
    ['after=', '/after'],
    ['after=WyJhIl0', '/after'],
    ['after=a&after=b', '/after'],
    [`after=${'x'.repeat(501)}`, '/after'],
    [`after=${Buffer.from('["\\u0000","01890000-0000-7000-8000-000000000000"]').toString('base64url')}`, '/after'],
    ['q=a&q=b', '/q'],
    [`q=${'x'.repeat(121)}`, '/q'],
  ])('of units with ?%s is refused', async (query, path) => {
    expect(refusal(await cast.author.get(`/units?${query}`))).toEqual([422, path])
  })

  test.each(['q=%00', 'q=a%00b', 'q=%5c', 'q=%25', 'q=_', "q='", 'q=%ff', 'q=%f0%9f%98%80', '__proto__=x', 'q[]=x'])(
    'of anything with ?%s is a list',
    async (query) => {
      for (const list of ['/units', '/files', '/sculptors'])
        expect((await cast.author.get(`${list}?${query}`)).json()).toMatchObject({ items: expect.any(Array) })
    },
  )

  test('of reports goes on from no day that there never was', async () => {
    const after = Buffer.from('["0000-01-01","01890000-0000-7000-8000-000000000000"]').toString('base64url')
    expect(refusal(await cast.author.get(`/reports?after=${after}`))).toEqual([422, '/after'])
  })

  test('goes on behind a name that looks like an escape', async () => {
    const name = '\\u0000 of the Sedge'
    await cast.author.post('/units', { name, scaleMm: 28 })
    const after = Buffer.from(JSON.stringify([name, '01890000-0000-7000-8000-000000000000'])).toString('base64url')
    expect((await cast.author.get(`/units?limit=1&after=${after}`)).statusCode).toBe(200)
  })
})

describe('an address', () => {
  const asked = (method: string, url: string) =>
    cast.app.inject({
      method: method as 'GET',
      url,
      headers: { cookie: cast.author.cookie ?? '', 'sec-fetch-site': 'same-origin' },
    })

  test.each([
    ['PUT', '/api/v1/units'],
    ['DELETE', '/api/v1/units'],
    ['PATCH', '/api/v1/openapi.json'],
    ['POST', '/api/v1/me'],
    ['TRACE', '/api/v1/units'],
    ['OPTIONS', '/api/v1/units'],
    ['PROPFIND', '/api/v1/units'],
    ['GET', '/api/v1'],
    ['GET', '/api/v2/units'],
    ['GET', '/api/v1/units/'],
    ['GET', '/api/v1//units'],
    ['GET', '/api/v1/UNITS'],
    ['GET', '/api/v1/units/%E0%A4%A'],
    ['GET', `/api/v1/units/${'a'.repeat(8_000)}`],
    ['GET', '/api/v1/units/..%2f..%2fme'],
    ['GET', '/api/v1/units/%00'],
  ])('%s %s is nowhere', async (method, url) => {
    expect(refusal(await asked(method, url))).toEqual([404])
  })

  test.each(['/%E0%A4%A', '/units/%', '/nowhere', '/units/x', '/assets/..%2f..%2fpackage.json', '/.git/config'])(
    '%s is a page that says so, with a way on',
    async (url) => {
      const answer = await asked('GET', url)
      expect([answer.statusCode, answer.headers['content-type']]).toEqual([404, 'text/html; charset=utf-8'])
      expect(answer.body).toContain('<a href="/">')
      expect(answer.headers['content-security-policy']).toContain("default-src 'none'")
      expect(answer.headers['x-content-type-options']).toBe('nosniff')
    },
  )

  test.each(['/api/v1', '/%61pi/v1', '/a%70i/v%31'])(
    'under %s is one of the API, with its guards and answers',
    async (api) => {
      const { id } = await things.unit(cast.author)
      const ask = (payload: object, headers = {}) =>
        cast.app.inject({
          method: 'PATCH',
          url: `${api}/units/${id}`,
          headers: { cookie: cast.steward.cookie ?? '', 'sec-fetch-site': 'same-origin', ...headers },
          payload,
        })
      expect(refusal(await ask({ scaleMm: 32 }))).toEqual([428])
      expect(refusal(await ask({ scaleMm: 32 }, { 'if-match': '"7"' }))).toEqual([412])
      expect(refusal(await ask({ scaleMm: 0 }, { 'if-match': '"1"' }))).toEqual([422, '/scaleMm'])
      expect((await ask({ scaleMm: 32 }, { 'if-match': '"1"' })).headers.etag).toBe('"2"')
    },
  )

  test('of a page that was asked for before signing in is kept, and never leads elsewhere', async () => {
    const nobody = outsider(cast.app)
    const answer = await nobody.page('/units?q=%22%3E%0d%0aSet-Cookie:%20a=b')
    expect(answer.statusCode).toBe(303)
    expect(answer.headers.location).toBe(
      `/sign-in?next=${encodeURIComponent('/units?q=%22%3E%0d%0aSet-Cookie:%20a=b')}`,
    )
    for (const next of [
      '//elsewhere.example',
      '/\\elsewhere.example',
      'https://elsewhere.example',
      '/\telsewhere',
      '%2f%2fx',
    ])
      expect((await nobody.page(`/sign-in?next=${encodeURIComponent(next)}`)).body).not.toContain('elsewhere')
  })
})

test('what nobody foresaw is a bare 500, by both doors', async () => {
  const broken = await startApp({
    now: () => {
      throw new Error('select "passwordHash" from "member" at server/features/x.ts:1:1')
    },
  })
  const nobody = outsider(broken.app)
  const credentials = { email: 'ada@group.example', password: 'four unrelated words' }
  const api = await nobody.post('/sessions', credentials)
  expect(api.json()).toEqual({
    type: 'about:blank',
    title: 'Something went wrong on our side',
    status: 500,
    detail:
      'Nothing from this request was saved. If it happens again, tell whoever runs the service: its log has the reason.',
  })
  const page = await nobody.submit('/sign-in', credentials)
  expect([page.statusCode, leak(page)]).toEqual([500, undefined])
  expect(page.body).not.toContain('passwordHash')
  await broken.close()
})
