import { afterAll, beforeAll, expect, inject, test } from 'vitest'
import { outsider, startApp } from '../support/app.ts'
import { leastMs, leastOfTries, mostOverLinear, processorMs, yardstick } from '../support/growth.ts'
import { type Document, placed, placesOf } from './bodies.ts'
import { type Ask, calls, isChange, leak, send } from './calls.ts'
import { type Cast, castOf } from './cast.ts'

/*
 * What a stranger, or a member who means harm, sends to keep the service busy: each route gets as much as it lets in, of
 * kinds that are hard on what reads them, and the processor time of the answer is measured.
 */

let cast: Cast
let close: () => Promise<void>
let document: Document
beforeAll(async () => {
  let hours = 0
  const started = await startApp({ trustProxy: true, now: () => new Date(Date.now() + 3_600_000 * ++hours) })
  close = started.close
  cast = await castOf(started.app)
  document = (await outsider(started.app).get('/openapi.json')).json()
})
afterAll(() => close())

/** Just within what a body, and the head of a request, may have. */
const [bodyBytes, headBytes] = [240_000, 12_000]
/** What takes so little is fine; what takes longer has to be in proportion to its size, and done within the other. */
const noTimeMs = 60
/** Some 2 s on an idle core. */
const mostYardsticks = 400

/** A case by what it is: what is sent along with a call that would be fine, at its full size (1) or a tenth of it (0.1). */
type Slow = Record<string, (share: number) => { query?: string; headers?: Record<string, string>; payload?: string }>

const times = (piece: string, length: number) => piece.repeat(length / piece.length)

const heads: Slow = {
  'a query of dots': (share) => ({ query: `q=${times('a.', share * headBytes)}` }),
  'a query of many fields': (share) => ({ query: times('a=&', share * headBytes) }),
  'long headers': (share) => {
    const names = ['accept-language', 'if-match', 'idempotency-key', 'x-forwarded-for']
    return {
      headers: Object.fromEntries(names.map((name) => [name, times('a.,', (share * headBytes) / names.length)])),
    }
  },
}

const texts: Record<string, (length: number) => string> = {
  dots: (length) => times('a.', length),
  'blanks and commas': (length) => times(`a${times(' ', 130)},${times(' ', 266)}x\n`, length),
  quotes: (length) => `unit,models\n${times('a"', length)}`,
  'words without end': (length) =>
    Array.from({ length: length / 6 }, (_, i) => `w${String(i).padStart(4, '0')}`).join(' '),
}

function formsTo({ form = {} }: Ask): Slow {
  const pairs = (all: [string, string][]) => ({ payload: new URLSearchParams(all).toString() })
  const many = (own: [string, string][], share: number, name: (index: number) => string) =>
    Array.from({ length: 2_000 * share - own.length }, (_, i): [string, string] => [name(i), times('x', 100)])
  const own = Object.entries(form).flatMap(([name, value]) =>
    [value].flat().map((one): [string, string] => [name, one]),
  )
  const names = Object.keys(form)
  const whatever: Slow = {
    'a name of dots': (share) => pairs([...own, [times('.', share * bodyBytes), 'x']]),
    'many fields': (share) => pairs([...own, ...many(own, share, (i) => `a.b.c.d${i}`)]),
  }
  if (names.length === 0) return whatever
  return {
    ...whatever,
    'one field many times': (share) => pairs([...own, ...many(own, share, (i) => names[i % names.length] ?? '')]),
    ...byKind((make) => (share) => {
      // Most of these signs are sent as three.
      const length = (share * bodyBytes) / names.length / 3
      return pairs(names.map((name) => [name, make(length)]))
    }),
  }
}

function bodiesTo(route: string, { body = {} }: Ask): Slow {
  const fields = placesOf(document, route).values.filter((path) => !path.includes('0'))
  const json = (value: unknown) => ({ payload: JSON.stringify(value) })
  const everywhere = (value: unknown) => fields.reduce((made: unknown, path) => placed(made, path, value), body)
  return {
    brackets: (share) => ({ payload: times('[', share * bodyBytes) }),
    'many fields': (share) => json(Object.fromEntries(Array.from({ length: 2e4 * share }, (_, i) => [`k${i}`, 1]))),
    'long lists': (share) => json(everywhere(Array(Math.floor((share * bodyBytes) / 4 / fields.length)).fill('x'))),
    ...byKind((make) => (share) => json(everywhere(make((share * bodyBytes) / fields.length / 1.1)))),
  }
}

const byKind = (made: (make: (length: number) => string) => Slow[string]): Slow =>
  Object.fromEntries(Object.entries(texts).map(([kind, make]) => [`${kind} in its fields`, made(make)]))

/** A route reads its query, if anything of a head; the rest is read before it, alike for all of a kind, so the first stands for them. */
const { 'a query of dots': dots = () => ({}), ...readBefore } = heads
const kindOf = (route: string) => [isChange(route), route.includes('/api/v1/')].join()
const kindsRead = new Map(
  Object.keys(calls)
    .toReversed()
    .map((route) => [kindOf(route), route]),
)

function casesOf(route: string, ask: Ask): Slow {
  const read = { 'a query of dots': dots, ...(kindsRead.get(kindOf(route)) === route && readBefore) }
  if (!isChange(route)) return read
  if (!route.includes('/api/v1/')) return { ...read, ...formsTo(ask) }
  return { ...read, ...(placesOf(document, route).values.length > 0 && bodiesTo(route, ask)) }
}

/** On a server, what a query costs is not in the processor time of this process: on the embedded database it is. */
const isMeasured = inject('template').kind === 'embedded'

test.runIf(isMeasured).each(Object.entries(calls))('%s answers at once, whatever comes in', async (route, call) => {
  const person = call.may[4] === 403 ? cast.author : cast.owner
  let ask = await call.ask(cast, person)
  const answerMs = async ({ query, headers, payload }: ReturnType<Slow[string]>, what: string) => {
    let answered: Awaited<ReturnType<typeof send>> | undefined
    const ms = await processorMs(async () => {
      answered = await send(ask.by ?? person, query ? `${route}?${query}` : route, ask, headers, payload)
    })
    if (!answered) throw new Error('no answer')
    expect([what, leak(answered), answered.statusCode < 500]).toEqual([what, undefined, true])
    // What is asked for next has to be there again, which is not measured.
    if (answered.statusCode < 400 && isChange(route)) ask = await call.ask(cast, person)
    return ms
  }
  const least = async (sent: ReturnType<Slow[string]>, what: string) =>
    Math.min(await answerMs(sent, what), await answerMs(sent, what), await answerMs(sent, what))
  // Some answers are much work whatever is sent.
  const fineMs = noTimeMs + 1.5 * (await answerMs({}, 'ordinary'))
  for (const [what, make] of Object.entries(casesOf(route, ask))) {
    const [whole, tenth] = [make(1), make(0.1)]
    if ((await answerMs(whole, what)) < fineMs || (await least(whole, what)) < fineMs) continue
    const growth = async () => (await least(whole, what)) / (await least(tenth, what)) / 10
    const yardsticks = async () => (await least(whole, what)) / (await leastMs(yardstick))
    const [over, long] = [await leastOfTries(mostOverLinear, growth), await leastOfTries(mostYardsticks, yardsticks)]
    expect([what, over < mostOverLinear || over, long < mostYardsticks || long]).toEqual([what, true, true])
  }
})
