import type { LightMyRequestResponse } from 'fastify'
import { afterAll, afterEach, beforeAll, describe, expect, test, vi } from 'vitest'
import { buildApp } from '../../server/app.ts'
import type { App } from '../../server/http/route.ts'
import { renewed } from '../../server/http/session.ts'
import { Person, startApp, withoutLimits } from '../support/app.ts'
import { hasConnections, hold } from '../support/held.ts'
import { noBundles } from '../support/no-assets.ts'
import { counting } from '../support/statements.ts'
import { until } from '../support/until.ts'
import { type Ask, calls, isChange, send } from './calls.ts'
import { castOf } from './cast.ts'
import { things } from './things.ts'

/*
 * Answers that are kept until something is written: whatever is written, by whomever and by way of whichever process, nobody
 * is shown what was true before it, nor what is somebody else's.
 */

let clock: (() => Date) | undefined
const { app, db, place, close } = await startApp()
const watch = counting(db)
const service = (mostKept?: number) =>
  buildApp({
    db: watch.db,
    writeLimits: withoutLimits,
    assets: { folder: import.meta.dirname, manifest: noBundles },
    now: () => clock?.() ?? new Date(),
    ...(mostKept !== undefined && { mostKept }),
  })
/** On one database, as processes are that know nothing of each other. */
const [first, second, keepsLittle, keepsNone] = [
  await service(),
  await service(),
  await service(100_000),
  await service(0),
]
const cast = await castOf(app)

afterEach(() => {
  clock = undefined
  vi.useRealTimers()
})
afterAll(async () => {
  await Promise.all([first, second, keepsLittle, keepsNone].map((one) => one.close()))
  await close()
})

const look = ({ id, cookie }: Person, url: string, at: App = first) => new Person(at, id, cookie).page(url)

/** How many statements it takes to show it. */
async function statementsFor(person: Person, url: string, at: App = first): Promise<number> {
  watch.reset()
  expect((await look(person, url, at)).statusCode).toBe(200)
  return watch.count()
}

/** Expects that it is kept. Another test that writes on the same server meanwhile is let by: it counts as a write as well. */
const expectKept = (person: Person, url: string, at: App = first) =>
  expect
    .poll(
      async () => {
        await look(person, url, at)
        return statementsFor(person, url, at)
      },
      { message: url },
    )
    .toBe(1)

const onceValue = /(?<=name="once" value=")[\w-]{36}/g

const keysOf = ({ body }: LightMyRequestResponse): string[] => body.match(onceValue) ?? []

/** All of an answer but what is made anew for each. */
function told({ statusCode, headers: { date: _, ...headers }, body }: LightMyRequestResponse) {
  return { statusCode, headers, body: body.replaceAll(onceValue, 'once') }
}

/** Expects to be answered as by a service that keeps nothing. */
async function expectTrue(person: Person, url: string, at: App = first) {
  const [shown, true_] = [await look(person, url, at), await look(person, url, keepsNone)]
  expect([url, told(shown)]).toEqual([url, told(true_)])
  return shown
}

describe('while nothing is written', () => {
  const urls: [what: string, url: string][] = []

  beforeAll(async () => {
    const { author } = cast
    const { requestId: request } = await things.proposal(author)
    const { id: unit } = await things.unit(author)
    const { fileId: file, printerId: printer } = await things.plate(author)
    const { id: roster } = await things.plan(author)
    for (const path of [
      `/requests/${request}`,
      `/units/${unit}`,
      `/files/${file}`,
      `/printers/${printer}`,
      '/printers',
    ])
      urls.push(
        [path.replace(/[\w-]{36}/, ':id'), path],
        [`${path.replace(/[\w-]{36}/, ':id')} by REST`, `/api/v1${path}`],
      )
    for (const list of ['/requests', `/requests/${request}/answers`, '/units', `/units/${unit}/answers`, '/files'])
      urls.push([`${list.replace(/[\w-]{36}/, ':id')} by REST`, `/api/v1${list}`])
    urls.push(['/', '/'], ['/search', '/search?q=anything'], ['/rosters/:id', `/rosters/${roster}`])
    urls.push(['/rosters/:id by REST', `/api/v1/rosters/${roster}`])
  })

  test('an answer takes the one statement that tells who asks, and is the same but for the keys of its forms', async () => {
    for (const [what, url] of urls) {
      const opened = await look(cast.author, url)
      expect([what, opened.statusCode]).toEqual([what, 200])
      await expectKept(cast.author, url)
      const again = await expectTrue(cast.author, url)
      expect([what, told(again)]).toEqual([what, told(opened)])
      const [keys, later] = [keysOf(opened), keysOf(again)]
      expect([what, keys.filter((key) => later.includes(key))]).toEqual([what, []])
      expect([what, later.length]).toEqual([what, keys.length])
    }
    expect(urls.length).toBe(19)
  })

  test('each member is shown their own', async () => {
    for (const [, url] of urls) {
      for (const person of [cast.other, cast.steward, cast.owner]) await expectTrue(person, url)
    }
    expect((await look(cast.outsider, '/')).headers.location).toMatch('/sign-in')
  })

  test('so is each session', async () => {
    await look(cast.author, '/')
    expect(await statementsFor(await cast.again(cast.author), '/')).toBeGreaterThan(1)
  })

  test('it is packed as the browser takes it', async () => {
    const headers = { cookie: cast.author.cookie ?? '', 'accept-encoding': 'br' }
    for (const expected of [undefined, 'br']) {
      if (expected) await first.inject({ url: '/', headers })
      const answer = await first.inject({ url: '/', headers: expected ? headers : { cookie: headers.cookie } })
      expect(answer.headers['content-encoding']).toBe(expected)
    }
  })

  test('what is refused, or asked for by HEAD, is not kept', async () => {
    const missing = '/units/01890000-0000-7000-8000-000000000000'
    for (const _ of [1, 2]) expect((await look(cast.author, missing)).statusCode).toBe(404)
    await look(cast.author, '/printers')
    const head = await first.inject({ method: 'HEAD', url: '/printers', headers: { cookie: cast.author.cookie ?? '' } })
    expect([head.statusCode, head.body]).toEqual([200, ''])
  })

  test('the day is another, and so is what is shown of it', async () => {
    clock = () => new Date('2026-05-01T12:00Z')
    await expectKept(cast.author, '/printers')
    clock = () => new Date('2026-05-02T12:00Z')
    expect(await statementsFor(cast.author, '/printers')).toBeGreaterThan(1)
  })

  test('what was asked for before midnight is not shown the day after, whenever it was answered', async () => {
    const [evening, morning] = [new Date('2025-06-03T23:59:59Z'), new Date('2025-06-04T00:00:00Z')]
    await things.plate(cast.author)
    clock = () => evening
    const before = told(await look(cast.author, '/', keepsNone))
    clock = () => morning
    expect(told(await look(cast.author, '/', keepsNone))).not.toEqual(before)
    for (const inTime of [0, 1, 2, 3, 4]) {
      const url = `/?in-time=${inTime}`
      let asked = 0
      clock = () => (asked++ < inTime ? evening : morning)
      await look(cast.author, url)
      clock = () => morning
      await expectTrue(cast.author, url)
    }
  })

  test('a session ends in its time', async () => {
    const again = await cast.again(cast.author)
    expect((await look(again, '/')).statusCode).toBe(200)
    vi.useFakeTimers({ toFake: ['Date'], now: Date.now() + renewed.milliseconds() + 1000 })
    expect((await look(again, '/')).headers.location).toMatch('/sign-in')
  })

  test('what is kept stays within its bounds: what was asked for longest ago goes first', async () => {
    const pages = Array.from({ length: 30 }, (_, number) => `/?number=${number}`)
    for (const url of pages) await expectKept(cast.author, url, keepsLittle)
    expect(await statementsFor(cast.author, pages[0] ?? '', keepsLittle)).toBeGreaterThan(1)
    for (const url of pages) await expectTrue(cast.author, url, keepsLittle)
  })

  test('an address counts as well, as long as it is', async () => {
    const [one, other] = ['a', 'b'].map((letter) => `/?q=${letter.repeat(60_000)}`)
    for (const url of [one, other]) await expectKept(cast.author, url ?? '', keepsLittle)
    expect(await statementsFor(cast.author, one ?? '', keepsLittle)).toBeGreaterThan(1)
  })
})

test('a browser that has no style sheet yet gets it, whatever is kept', async () => {
  const withStyle = await buildApp({
    db,
    assets: { folder: import.meta.dirname, manifest: { ...noBundles, css: 'style-AB12.css' }, style: 'p{margin:0}' },
  })
  const cookie = cast.author.cookie ?? ''
  const ask = (url: string, style: string) => withStyle.inject({ url, headers: { cookie: `${cookie}${style}` } })
  for (const style of ['; style=AB12', '', '; style=AB12']) {
    const { body, cookies } = await ask('/', style)
    expect([body.includes('<style>'), cookies.length]).toEqual(style ? [false, 0] : [true, 1])
  }
  await withStyle.close()
})

test('a plan that is being worked on may fall silent without a word, so its page is not kept', async () => {
  const { id } = await things.plan(cast.author)
  const url = `/rosters/${id}`
  const set = (plan: { state: 'running' | 'done'; heartbeatAt?: Date }) =>
    db.updateTable('rosterPlan').set(plan).where('rosterId', '=', id).execute()
  await set({ state: 'running', heartbeatAt: new Date() })
  await look(cast.author, url)
  expect(await statementsFor(cast.author, url)).toBeGreaterThan(1)
  await set({ state: 'done' })
  await expectKept(cast.author, url)
})

test('what else could be bought is worked out anew for whoever asks again: the time may suffice for more', async () => {
  const { id, offerId } = await things.plan(cast.author)
  await expectKept(cast.author, `/rosters/${id}`)
  const url = `/rosters/${id}?whatIf=offer+${offerId}`
  await look(cast.author, url)
  expect(await statementsFor(cast.author, url)).toBeGreaterThan(1)
})

/** Who looks at what, by way of which process: where what is written may show, as on the page of what the call is about. */
function looksOf(route: string, { params: [id] = [] }: Ask): [Person, App, string][] {
  const [, kind] = /(requests|units|files|printers|rosters)\/:id/.exec(route) ?? []
  const { author, steward } = cast
  const anywhere: [Person, App, string][] = [
    [author, first, '/'],
    [steward, second, '/printers'],
  ]
  if (!kind || !id) return anywhere
  return [...anywhere, [author, first, `/${kind}/${id}`], [steward, second, `/api/v1/${kind}/${id}`]]
}

// Each route once: that a database tells one state from the next, the other tests here ask of both.
describe.skipIf(process.env.TEST_SCOPE === 'database')(
  'after whatever is written nobody is shown what was true before',
  () => {
    const running = db.selectFrom('rosterPlan').select('id').where('state', '=', 'running')
    const changes = Object.entries(calls).filter(([route]) => isChange(route))

    test.each(changes)('%s', async (route, { ask }) => {
      const person = cast.author
      const asked = await ask(cast, person)
      const looks = looksOf(route, asked)
      for (const [viewer, at, url] of looks) await look(viewer, url, at)
      await send(asked.by ?? person, route, asked)
      // A plan that goes on changes between one look and the next.
      await until(async () => (await running.execute()).length === 0)
      for (const [viewer, at, url] of looks) await expectTrue(viewer, url, at)
    })
  },
)

describe('who may not look any more is not shown what is kept', () => {
  const looker = async (role?: 'member' | 'steward') => {
    const person = await cast.newcomer(role)
    await expectKept(person, '/')
    return person
  }
  const expectOut = async (person: Person) => {
    for (const at of [first, second, keepsNone])
      expect((await look(person, '/', at)).headers.location).toMatch('/sign-in')
  }

  test('signed out', async () => {
    const person = await looker()
    await person.submit('/sign-out', {})
    await expectOut(person)
  })

  test('signed out everywhere by a steward, at another process', async () => {
    const person = await looker()
    await new Person(second, cast.steward.id, cast.steward.cookie).delete(`/members/${person.id}/sessions`)
    await expectOut(person)
  })

  test('left the group', async () => {
    const person = await looker()
    await cast.owner.patch(`/members/${person.id}`, { state: 'left' }, { headers: { 'if-match': '*' } })
    await expectOut(person)
  })

  test('of another role by now: as that one', async () => {
    const { id } = await things.unit(cast.author)
    const person = await looker()
    const mayChange = async () => (await look(person, `/units/${id}`)).body.includes(`/units/${id}/edit`)
    expect([await mayChange(), await mayChange()]).toEqual([false, false])
    await cast.owner.submit(`/members/${person.id}/role`, { role: 'steward', version: '1' })
    expect([await mayChange(), await mayChange()]).toEqual([true, true])
  })
})

test.runIf(hasConnections)('what is written shows when it is committed, whatever was looked at meanwhile', async () => {
  const { id } = await things.unit(cast.author)
  const url = `/units/${id}`
  const named = async (name: string, at: App) => (await look(cast.author, url, at)).body.includes(name)
  await look(cast.author, url)
  const held = await hold(place, `update unit set name = 'Salt Wardens' where id = '${id}'`)
  // Something else is committed, so that what is under way lies between what is over.
  await things.unit(cast.author)
  for (const at of [first, second, first, second]) expect(await named('Salt Wardens', at)).toBe(false)
  await expectKept(cast.author, url)
  await held.letGo()
  for (const at of [first, second, first, second]) expect(await named('Salt Wardens', at)).toBe(true)
})
