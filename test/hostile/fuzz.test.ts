import fc from 'fast-check'
import type { LightMyRequestResponse } from 'fastify'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { outsider, startApp } from '../support/app.ts'
import { type Document, type Path, placed, placesOf, pointer, takesBody } from './bodies.ts'
import { type Ask, apiCalls, isChange, leak, pageCalls, send } from './calls.ts'
import { type Cast, castOf } from './cast.ts'

let cast: Cast
let close: () => Promise<void>
let document: Document
beforeAll(async () => {
  const started = await startApp({ now: ticking() })
  close = started.close
  cast = await castOf(started.app)
  document = (await outsider(started.app).get('/openapi.json')).json()
})
afterAll(() => close())

/** So many of all the combinations in CI, a third of them elsewhere: the same ones each time. With FUZZ=all it is all of them. */
function some<One>(all: readonly One[], mostInCi: number): readonly One[] {
  const most = process.env.CI ? mostInCi : Math.ceil(mostInCi / 3)
  if (process.env.FUZZ === 'all' || all.length <= most) return all
  const [sample = []] = fc.sample(fc.shuffledSubarray([...all], { minLength: most, maxLength: most }), {
    seed: 20_251,
    numRuns: 1,
  })
  return sample
}

/** A clock that runs an hour a call, so that no limit on tries stands in the way. */
function ticking() {
  let hours = 0
  return () => new Date(Date.now() + 3_600_000 * ++hours)
}

/** Calls that write, with a body that would be fine. One that was refused is asked again; one that was done is not. */
const asked = new Map<string, Ask>()
async function sendWith(route: string, change: (ask: Ask) => Ask): Promise<LightMyRequestResponse> {
  const call = apiCalls[route] ?? pageCalls[route]
  // Where it is about oneself it is somebody whom nobody else needs.
  const person = /\/me(\/|$)/.test(route) ? cast.other : call?.may[4] === 403 ? cast.author : cast.owner
  const ask = asked.get(route) ?? (await call?.ask(cast, person)) ?? {}
  asked.set(route, ask)
  const answer = await send(ask.by ?? person, route, change(ask))
  if (answer.statusCode < 400) asked.delete(route)
  return answer
}

/** As zod puts it where nobody has said it better: no words of ours. */
const wordsOfLibrary = /^(Invalid|Too (big|small))\b|\b(expected|received)\b/

function expectProblem(answer: LightMyRequestResponse): void {
  expect(answer.headers['content-type']).toBe('application/problem+json')
  const { status, errors = [], ...problem } = answer.json()
  expect(status).toBe(answer.statusCode)
  expect(problem).toEqual({
    type: 'about:blank',
    title: expect.stringMatching(/./),
    detail: expect.stringMatching(/./),
  })
  for (const words of [problem.detail, ...errors.map(({ message }: { message: string }) => message)])
    expect(words).not.toMatch(wordsOfLibrary)
  expect(errors.length).toBeLessThanOrEqual(50)
  for (const { path, message } of errors) {
    // RFC 6901, section 3
    expect(path).toMatch(/^(\/([^/~]|~0|~1)*)*$/)
    expect(message).toMatch(/./)
  }
}

/** Whatever comes in: done or refused with reasons, and nothing of the inside shows. */
function expectSober(answer: LightMyRequestResponse): void {
  expect(leak(answer)).toBeUndefined()
  expect(answer.statusCode).toBeLessThan(500)
  if (answer.statusCode >= 400) expectProblem(answer)
}

const bodies = () => Object.keys(apiCalls).filter((route) => takesBody(document, route))
const valuePlaces = () => bodies().flatMap((route) => placesOf(document, route).values.map((path) => ({ route, path })))

const withBody = (route: string, path: Path, value: unknown) =>
  sendWith(route, ({ body = {}, ...ask }) => ({ ...ask, body: placed(body, path, value) as Record<string, unknown> }))

/** Texts that nothing can keep, and values too long for any field. */
const poison: [string, unknown, number][] = [
  ['NUL', 'a\u0000b', 1_000],
  ['half a pair', 'a\ud800b', 1_000],
  ['a bell', 'a\u0007b', 60],
  ['the other half', '\udc00', 60],
  ['10,000 letters', 'x'.repeat(10_000), 100],
  ['10,000 entries', Array(10_000).fill('x'), 60],
  ['10,000 objects', Array(10_000).fill({}), 30],
]

/** Values of the wrong kind, or at the edge of the right one; some of them may be fine. */
const odd: unknown[] = [
  null,
  true,
  0,
  -1,
  -0,
  1.5,
  1e308,
  5e-324,
  2 ** 53,
  '',
  ' ',
  '0',
  'x',
  '2025-02-30',
  '9999-12-31',
  '12.5',
  'javascript:alert(1)',
  'ＥＵＲ',
  '٣',
  '\u200b',
  'İ'.repeat(100),
  '\u{1f600}'.repeat(60),
  '%',
  '\\',
  "'; --",
  '$1',
  [],
  [null],
  [[]],
  [{}],
  ['x', 'x'],
  {},
  { amount: 1 },
  { toString: 1 },
  { length: 3, 0: 'x' },
]

describe('a body', () => {
  test('every call that takes one is tried', () => {
    expect(bodies().length).toBeGreaterThan(25)
  })

  test.each(poison)('with %s in any field is refused with a reason', async (_, value, most) => {
    // A password may be anything but half a pair.
    const places = valuePlaces().filter(({ path }) => !path.includes('password'))
    for (const { route, path } of some(places, most)) {
      const answer = await withBody(route, path, value)
      expectSober(answer)
      expect(answer.statusCode, `${route} ${pointer(path)}`).toBeGreaterThanOrEqual(400)
    }
  })

  test('with an unknown field is refused with a pointer to it, at every depth', async () => {
    for (const route of bodies()) {
      for (const path of placesOf(document, route).objects) {
        const extra = [...path, 'nonesuch']
        const answer = await withBody(route, extra, 1)
        expectSober(answer)
        expect(answer.statusCode, `${route} ${pointer(path)}`).toBe(422)
        const { errors } = answer.json()
        expect(errors).toContainEqual({ path: pointer(extra), message: 'There is no such field.' })
      }
    }
  })

  test('with any odd value in any field is done or refused with a reason', async () => {
    const all = valuePlaces().flatMap(({ route, path }) => odd.map((value) => ({ route, path, value })))
    for (const { route, path, value } of some(all, 500)) expectSober(await withBody(route, path, value))
  })

  test('that is anything at all is done or refused with a reason', async () => {
    const anywhere = [...valuePlaces(), ...bodies().map((route) => ({ route, path: [] }))]
    const anyJson = fc.jsonValue({ depthSize: 'medium', stringUnit: 'binary' })
    await fc.assert(
      fc.asyncProperty(fc.constantFrom(...anywhere), anyJson, async ({ route, path }, value) => {
        expectSober(await withBody(route, path, value))
      }),
      { seed: 20_251, numRuns: process.env.CI ? 400 : 130, endOnFailure: true },
    )
  })
})

describe('a query', () => {
  const gets = Object.keys(apiCalls).filter((route) => !isChange(route))
  const values = ['', 'abc', '0', '-1', '101', '1e9', '%00', '%ff', 'x'.repeat(5_000), '%5c', "'", '%25', '[]', 'null']
  const cursors = ['["\\u0000","x"]', '["a"]', '[]', '{}', '["0000-01-01","01890000-0000-7000-8000-000000000000"]']
  const names = ['limit', 'after', 'q', 'state', 'unitId', 'own', 'looks', 'wanted', 'nonesuch', '__proto__', '']

  test('of any list or thing', async () => {
    const queries = names.flatMap((name) => [
      ...values.map((value) => `${name}=${value}`),
      ...cursors.map((cursor) => `${name}=${Buffer.from(cursor).toString('base64url')}`),
      `${name}=1&${name}=2`,
      `${name}[]=1`,
      name,
    ])
    const all = gets.flatMap((route) => queries.map((query) => ({ route, query })))
    for (const { route, query } of some(all, 600)) {
      const [path = '', ask] = await addressOf(route)
      expectSober(await send(cast.owner, `${path}?${query}`, ask))
    }
  })

  const made = new Map<string, Ask>()
  async function addressOf(route: string): Promise<[string, Ask]> {
    const ask = made.get(route) ?? (await apiCalls[route]?.ask(cast, cast.owner)) ?? {}
    made.set(route, ask)
    return [route, ask]
  }
})

describe('a form', () => {
  const forms = Object.keys(pageCalls).filter(isChange)
  const texts: [string, string][] = [
    ...['', ' ', '\u0000', 'a\u0000b', '\u0007', '\u202e', '\u200b', 'x'.repeat(10_000), '\n'.repeat(3_000)].map(once),
    ...['-1', '1e999', 'NaN', '0x10', '1,5,3', '9'.repeat(400), '1_000', '٣', '2025-02-30', 'true', 'null'].map(once),
    ...['javascript:alert(1)', '[object Object]', '<b>', '%00', '../..', 'x\r\ny', "'); --"].map(once),
  ]
  function once(text: string): [string, string] {
    return [text.slice(0, 20), text]
  }
  const strange = [
    '__proto__',
    'constructor',
    'toString',
    'prototype.x',
    '__proto__.x.y',
    'constructor.name',
    'a.b.c',
    '',
    '.',
    '..',
    `${'a.'.repeat(2_000)}b`,
    'name.x',
    'name.x.y',
    'base',
    'base.',
    'once',
    'version',
    'nonesuch',
  ]

  function expectPage(answer: LightMyRequestResponse, what: string): void {
    expect(leak(answer), what).toBeUndefined()
    expect(answer.statusCode, what).toBeLessThan(500)
    if (answer.statusCode === 303) return
    expect(answer.headers['content-type'], what).toBe('text/html; charset=utf-8')
    // Either the form again with what is wrong, or a page that says so.
    if (answer.statusCode === 422) expect(answer.body, what).toMatch(/class="error-summary"|<h1>/)
  }

  test('takes any text in any field, twice, or not at all', async () => {
    const fields: { route: string; name: string }[] = []
    for (const route of forms) {
      const valid = (await pageCalls[route]?.ask(cast, cast.other))?.form ?? {}
      fields.push(...Object.keys(valid).map((name) => ({ route, name })))
    }
    const all = fields.flatMap((field) => texts.map(([label, text]) => ({ ...field, label, text })))
    for (const { route, name, label, text } of some(all, 300)) {
      const answer = await sendWith(route, (ask) => ({ ...ask, form: { ...ask.form, [name]: text } }))
      expectPage(answer, `${route} ${name}=${label}`)
      if (answer.statusCode === 422)
        expect([text, undefined], `${route} ${name}`).toContain(typedAgain(answer.body, name))
    }
    for (const { route, name } of some(fields, 60)) {
      const twice = await sendWith(route, (ask) => ({ ...ask, form: { ...ask.form, [name]: ['a', 'b'] } }))
      expectPage(twice, `${route} ${name} twice`)
      const none = await sendWith(route, ({ form, ...ask }) => ({ ...ask, form: omit(form, name) }))
      expectPage(none, `${route} no ${name}`)
    }
  })

  test('takes any field beside its own', async () => {
    const all = forms.flatMap((route) => strange.map((name) => ({ route, name })))
    for (const { route, name } of some(all, 150)) {
      const extra = Object.fromEntries([[name, 'x']])
      const answer = await sendWith(route, (ask) => ({ ...ask, form: { ...ask.form, ...extra } }))
      expectPage(answer, `${route} ${name}`)
    }
  })

  /** Forms that pictures come with. */
  const takesPictures = new Set([
    ...['POST /reports/new', 'POST /reports/new/more', 'POST /plates/:id/edit', 'POST /plates/:id/edit/more'],
    ...['POST /plates/:id/pictures', 'POST /files/:id/pictures'],
  ])

  test.each(forms)('of %s can be empty, or something else', async (route) => {
    expectPage(await sendWith(route, (ask) => ({ ...ask, form: {} })), 'empty')
    for (const [type, payload] of [
      ['application/json', '{"name":{"toString":1}}'],
      ['multipart/form-data; boundary=x', '--x--'],
      ['text/plain', 'name=x'],
    ] as const) {
      const [method = '', path = ''] = route.split(' ')
      const url = path.replace(/:\w+/g, '01890000-0000-7000-8000-000000000000')
      const headers = { 'sec-fetch-site': 'same-origin', 'content-type': type, cookie: cast.owner.cookie ?? '' }
      const answer = await cast.app.inject({ method: method as 'POST', url, headers, payload })
      const isRead = type.startsWith('multipart') && takesPictures.has(route)
      if (isRead) expectPage(answer, type)
      else expect([answer.statusCode, leak(answer)], type).toEqual([415, undefined])
    }
  })
})

/** What stands in the form's field of this name; undefined where it has none that one types into. */
function typedAgain(page: string, name: string): string | undefined {
  const fields = page.match(/<input(?:"[^"]*"|[^">])*>/g) ?? []
  const field = fields.find((one) => one.includes(` name="${name}"`))
  if (field === undefined || /type="(?:hidden|radio|checkbox|password|file)"/.test(field)) return undefined
  const value = /value="([^"]*)"/.exec(field)?.[1] ?? ''
  return value.replaceAll('&lt;', '<').replaceAll('&quot;', '"').replaceAll('&amp;', '&')
}

function omit(form: Ask['form'], name: string): NonNullable<Ask['form']> {
  return Object.fromEntries(Object.entries(form ?? {}).filter(([key]) => key !== name))
}
