import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import type { LightMyRequestResponse } from 'fastify'
import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest'
import { type OpenDatabase, openDatabase } from '../../db/connect.ts'
import { buildApp } from '../../server/app.ts'
import type { App } from '../../server/http/route.ts'
import { member, outsider, owner, Person, withoutLimits } from '../support/app.ts'
import { type FreshPlace, freshPlace } from '../support/database.ts'
import { noBundles } from '../support/no-assets.ts'
import { aPrintable, aPrinter, reportBody } from '../support/printing.ts'
import { apiCalls, isChange, leak, pageCalls, send } from './calls.ts'
import { type Gate, gateTo } from './gate.ts'

// The embedded database is in the process itself and can't be away.
describe.runIf(inject('template').kind === 'postgresql')('the database is away', () => {
  let fresh: FreshPlace
  let gate: Gate
  let database: OpenDatabase
  let app: App
  let odile: Person
  let ada: Person
  beforeAll(async () => {
    fresh = await freshPlace()
    gate = await gateTo(fresh.place.url ?? '')
    database = await openDatabase({ url: gate.url })
    const assets = { folder: join(import.meta.dirname, '..'), manifest: noBundles }
    app = await buildApp({
      db: database.db,
      assets,
      logLevel: process.env.TEST_LOG ?? 'silent',
      writeLimits: withoutLimits,
    })
    odile = await owner(app)
    ada = await member(odile, 'Ada')
  })
  afterAll(async () => {
    await app.close()
    await database.close()
    await gate.shut()
    await fresh.remove()
  })

  const params = Array(2).fill('01890000-0000-7000-8000-000000000000')
  const ask = (route: string) => ({ params, ...(isChange(route) && (route.includes('/api/') ? {} : { form: {} })) })

  function expectAway(route: string, answer: LightMyRequestResponse): void {
    expect([route, answer.statusCode, leak(answer)]).toEqual([route, 503, undefined])
    expect(Number(answer.headers['retry-after'])).toBeGreaterThan(0)
    const type = route.includes('/api/v1/') ? 'application/problem+json' : 'text/html; charset=utf-8'
    expect([route, answer.headers['content-type']]).toEqual([route, type])
    if (route.includes('/api/v1/')) expect(answer.json()).toMatchObject({ status: 503, type: 'about:blank' })
    else expect(answer.body).toContain('The database cannot be reached')
  }

  /** What needs no database to be answered. */
  const needsNone = ['GET /api/v1/openapi.json', 'GET /health/live', 'GET /assets/*', 'GET /service-worker.js']

  test('every call and page says so with 503 and when to try again, and is back by itself', async () => {
    await gate.shut()
    const cookie = `${odile.cookie}`
    const someone = new Person(app, odile.id, cookie)
    for (const route of Object.keys({ ...apiCalls, ...pageCalls }).filter((one) => !needsNone.includes(one)))
      expectAway(route, await send(someone, route, ask(route)))
    for (const route of needsNone.slice(0, 2)) expect((await send(outsider(app), route, {})).statusCode).toBe(200)
    await gate.open()
    expect((await odile.get('/me')).statusCode).toBe(200)
    expect((await odile.page('/')).statusCode).toBe(200)
    expect((await odile.page('/health/ready')).statusCode).toBe(200)
  })

  test('refusals that need no database are the same as ever', async () => {
    await gate.shut()
    const nobody = outsider(app)
    expect((await nobody.get('/units')).statusCode).toBe(401)
    expect((await nobody.page('/units')).statusCode).toBe(303)
    expect((await nobody.page('/nowhere')).statusCode).toBe(404)
    const foreign = { origin: 'https://elsewhere.example', cookie: odile.cookie ?? '' }
    for (const url of ['/units/new', '/api/v1/units']) {
      const answer = await app.inject({ method: 'POST', url, headers: foreign })
      expect([answer.statusCode, leak(answer)]).toEqual([403, undefined])
    }
    await gate.open()
  })

  test('whatever is under way when it goes is done or not, never by halves, and can be sent again', async () => {
    const { supportSetId } = await aPrintable(ada)
    const printerId = (await aPrinter(ada)).id
    const body = reportBody({ supportSetId, printerId, failures: [{ seen: 'soft detail', copies: 2 }] })
    const key = (round: number, index: number) => ({ headers: { 'idempotency-key': `cut-${round}-${index}` } })
    let cut = 0
    for (let round = 0; round < 6; round++) {
      const post = (index: number) =>
        ada.post('/reports', { ...body, remark: `cut ${round} ${index}` }, key(round, index))
      const sent = Array.from({ length: 6 }, (_, index) => post(index))
      await Promise.race([gate.heard(4 + 9 * round), Promise.all(sent)])
      await gate.shut()
      const answers = await Promise.all(sent)
      await gate.open()
      // Where all were answered before the cut, the pool has yet to hear of it.
      await sleep(50)
      for (const answer of answers) {
        expect(leak(answer)).toBeUndefined()
        expect([201, 503]).toContain(answer.statusCode)
      }
      cut += answers.filter(({ statusCode }) => statusCode === 503).length
      const again = await Promise.all(sent.map((_, index) => post(index)))
      expect(again.map(({ statusCode }) => statusCode)).toEqual(Array(6).fill(201))
      answers.forEach((answer, index) => {
        if (answer.statusCode === 201) expect(again[index]?.json().id).toBe(answer.json().id)
      })
    }
    expect(cut).toBeGreaterThan(0)
    const { items } = (await ada.get(`/reports?printerId=${printerId}&limit=100`)).json()
    expect(items).toHaveLength(36)
    expect(new Set(items.map(({ remark }: { remark: string }) => remark)).size).toBe(36)
    for (const { failures } of items) expect(failures).toEqual([{ seen: 'soft detail', copies: 2 }])
  })

  test('every connection is lost at once, between two calls: nobody notices', async () => {
    for (let round = 0; round < 3; round++) {
      await Promise.all(Array.from({ length: 10 }, () => odile.get('/units')))
      await gate.shut()
      await gate.open()
      await sleep(50)
      const answers = await Promise.all(Array.from({ length: 10 }, () => odile.get('/units')))
      expect(answers.map(({ statusCode }) => statusCode)).toEqual(Array(10).fill(200))
    }
  })
})
