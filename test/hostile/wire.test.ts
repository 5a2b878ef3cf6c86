import { type AddressInfo, connect } from 'node:net'
import { afterAll, beforeAll, expect, test } from 'vitest'
import type { App } from '../../server/http/route.ts'
import { startApp } from '../support/app.ts'

let app: App
let port: number
let close: () => Promise<void>
beforeAll(async () => {
  ;({ app, close } = await startApp())
  await app.listen({ port: 0, host: '127.0.0.1' })
  port = (app.server.address() as AddressInfo).port
})
afterAll(() => close())

/** Sends bytes as they are. @returns everything that comes back until the service hangs up */
function exchange(...bytes: string[]): Promise<string> {
  return new Promise((resolve, reject) => {
    const socket = connect(port, '127.0.0.1')
    let answer = ''
    socket.setEncoding('latin1')
    socket.on('data', (chunk) => {
      answer += chunk
    })
    socket.on('close', () => resolve(answer))
    // Hung up while we were still sending: what had come back until then counts.
    socket.on('error', (error: Error & { code?: string }) =>
      ['EPIPE', 'ECONNRESET'].includes(error.code ?? '') ? resolve(answer) : reject(error),
    )
    for (const part of bytes) socket.write(Buffer.from(part, 'latin1'))
  })
}

const lines = (...all: string[]) => `${all.join('\r\n')}\r\n\r\n`
const host = 'Host: 127.0.0.1'
const hangUp = 'Connection: close'
const aForm = 'Content-Type: application/x-www-form-urlencoded'
const statusOf = (answer: string) => Number(/^HTTP\/1\.1 (\d+)/.exec(answer)?.[1])

function expectSober(answer: string): void {
  expect(answer).not.toMatch(/FST_ERR|HPE_|Parse Error|\bat .+:\d+:\d+|node:|clientError/)
}

test.each([
  ['words', 'hello\r\n\r\n'],
  ['a TLS greeting', '\u0016\u0003\u0001\u0002\u0000\u0001\u0000\u0001\u00fc\u0003\u0003'.padEnd(200, '\u0000')],
  ['HTTP/2', 'PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n'],
  ['a method in small letters', lines('get / HTTP/1.1', host)],
  ['a method that there is not', lines('FETCH / HTTP/1.1', host)],
  ['no address', lines('GET HTTP/1.1', host)],
  ['a blank in the address', lines('GET /a b HTTP/1.1', host)],
  ['a header without a colon', lines('GET / HTTP/1.1', host, 'nonsense')],
  ['a NUL in a header', lines('GET / HTTP/1.1', host, 'X-Note: a\u0000b')],
  ['a header that goes on in the next line', lines('GET / HTTP/1.1', host, 'X-Note: a', ' b')],
  ['a blank before the colon', lines('GET / HTTP/1.1', host, 'Content-Length : 3')],
  ['two lengths', lines('POST /api/v1/sessions HTTP/1.1', host, 'Content-Length: 3', 'Content-Length: 5')],
  ['a length below 0', lines('POST /api/v1/sessions HTTP/1.1', host, 'Content-Length: -1')],
  ['a length and chunks', lines('POST / HTTP/1.1', host, 'Content-Length: 3', 'Transfer-Encoding: chunked')],
  ['chunks in disguise', lines('POST / HTTP/1.1', host, 'Transfer-Encoding: xchunked')],
  [
    'a chunk that is no length',
    `${lines('POST /api/v1/sessions HTTP/1.1', host, 'Content-Type: application/json', 'Transfer-Encoding: chunked')}zz\r\n`,
  ],
])('%s is no request that can be read', async (_, bytes) => {
  const answer = await exchange(bytes)
  expectSober(answer)
  expect(statusOf(answer)).toBe(400)
})

test.each([
  ['two hosts', lines('GET /health/live HTTP/1.1', host, 'Host: elsewhere.example', hangUp)],
  ['the same host twice', lines('GET /sign-in HTTP/1.1', host, host, hangUp)],
  ['no host', lines('GET /api/v1/units HTTP/1.1', hangUp)],
])('%s is a request that names none', async (_, bytes) => {
  const answer = await exchange(bytes)
  expectSober(answer)
  expect(statusOf(answer)).toBe(400)
  expect(answer).toContain('A request must name one host.')
})

test('what is no request is answered as RFC 9457 says', async () => {
  const answer = await exchange('hello\r\n\r\n')
  expect(answer).toMatch(/\r\ncontent-type: application\/problem\+json\r\n/)
  expect(JSON.parse(answer.slice(answer.indexOf('\r\n\r\n')))).toEqual({
    type: 'about:blank',
    title: 'Bad Request',
    status: 400,
    detail: 'This request cannot be read.',
  })
})

test.each([
  ['address', lines(`GET /${'a'.repeat(20_000)} HTTP/1.1`, host)],
  ['cookie', lines('GET / HTTP/1.1', host, `Cookie: a=${'b'.repeat(20_000)}`)],
  ['list of headers', lines('GET / HTTP/1.1', host, ...Array.from({ length: 5_000 }, (_, i) => `X-${i}: 1`))],
])('an endless %s is too much', async (_, bytes) => {
  const answer = await exchange(bytes)
  expectSober(answer)
  expect(statusOf(answer)).toBe(431)
})

test.each([
  ['nonsense', 'hello\r\n\r\n', 400],
  ['an endless header', lines('GET / HTTP/1.1', host, `X-Note: ${'a'.repeat(20_000)}`), 431],
  ['a strange expectation', lines('GET /health/live HTTP/1.1', host, hangUp, 'Expect: the-moon'), 417],
  ['no host', lines('GET / HTTP/1.1', hangUp), 400],
  ['another host', lines('GET / HTTP/1.1', 'Host: elsewhere.example', hangUp), 421],
  ['a body that is too long', lines('POST /sign-in HTTP/1.1', host, hangUp, aForm, 'Content-Length: 999999999'), 413],
])('the answer to %s carries the headers of every other answer', async (_, bytes, status) => {
  const answer = await exchange(bytes)
  expect(statusOf(answer)).toBe(status)
  const { headers } = await app.inject({ method: 'GET', url: '/sign-in' })
  const [head = ''] = answer.split('\r\n\r\n')
  const sent = new Map(head.split('\r\n').map((one) => one.toLowerCase().split(': ') as [string, string]))
  const security = ['content-security-policy', 'permissions-policy', 'x-content-type-options', 'referrer-policy']
  for (const name of [...security, 'cross-origin-opener-policy', 'cross-origin-resource-policy', 'cache-control'])
    expect([name, sent.get(name)]).toEqual([name, String(headers[name]).toLowerCase()])
})

const asJson = 'Content-Type: application/json'
const signIn = 'POST /api/v1/sessions HTTP/1.1'

test('a body that is announced as too long is refused before it comes', async () => {
  const answer = await exchange(lines(signIn, host, asJson, hangUp, 'Content-Length: 999999999'))
  expectSober(answer)
  expect(statusOf(answer)).toBe(413)
})

test('a body in chunks is refused once it is too long', async () => {
  const chunk = `10000\r\n${'a'.repeat(0x10000)}\r\n`
  const head = lines(signIn, host, asJson, hangUp, 'Transfer-Encoding: chunked')
  const answer = await exchange(head, chunk, chunk, chunk, chunk, chunk, '0\r\n\r\n')
  expectSober(answer)
  expect(statusOf(answer)).toBe(413)
})

test('a body shorter than it says, and then nothing, is no answer at all', async () => {
  const socket = connect(port, '127.0.0.1')
  socket.end(`${lines(signIn, host, asJson, 'Content-Length: 100')}{"email"`)
  let answer = ''
  for await (const chunk of socket.setEncoding('latin1')) answer += chunk
  expectSober(answer)
  expect([400, Number.NaN]).toContain(statusOf(answer))
})

test('an absolute address is the same as its path, and as closed', async () => {
  const call = (address: string) => exchange(lines(`GET ${address} HTTP/1.1`, host, hangUp))
  const api = await call('http://localhost/api/v1/units')
  expect(statusOf(api)).toBe(401)
  expect(api).toContain('application/problem+json')
  const page = await call('http://localhost/units')
  expect(page).toMatch(/\r\nlocation: \/sign-in\?next=%2Funits\r\n/i)
  expect(statusOf(await call('http://localhost'))).toBe(303)
  // It decides about the host, whatever the header says (RFC 9112, section 3.2.2).
  expect(statusOf(await call('http://elsewhere.example/units'))).toBe(421)
})

test.each([
  ['HTTP/1.0', lines('GET /health/live HTTP/1.0'), 200],
  ['the whole server', lines('OPTIONS * HTTP/1.1', host, hangUp), 404],
  // It would hand the cookie back to whoever reads the answer (ASVS 13.4.4).
  ['an echo', lines('TRACE /sign-in HTTP/1.1', host, hangUp, 'Cookie: a=secret'), 404],
  ['an offer to change protocols', lines('GET /health/live HTTP/1.1', host, 'Connection: close', 'Upgrade: h2c'), 200],
  ['a strange expectation', lines('GET /health/live HTTP/1.1', host, hangUp, 'Expect: the-moon'), 417],
  ['bytes of no letter', lines('GET /health/live HTTP/1.1', host, hangUp, 'X-Note: \u00ff\u00fe\u0080'), 200],
  ['a host that is none', lines('GET /sign-in HTTP/1.1', 'Host: "><script>', hangUp), 421],
  ['no host at a time when there was none', lines('GET /sign-in HTTP/1.0'), 421],
])('%s is no trouble', async (_, bytes, status) => {
  const answer = await exchange(bytes)
  expectSober(answer)
  expect(statusOf(answer)).toBe(status)
  expect(answer).not.toContain('secret')
})

test('a second request in the same breath gets an answer of its own', async () => {
  const live = `GET /health/live HTTP/1.1\r\n${host}\r\n`
  const answer = await exchange(`${live}\r\n${live}${hangUp}\r\n\r\n`)
  expect(answer.match(/HTTP\/1\.1 200/g)).toHaveLength(2)
})
