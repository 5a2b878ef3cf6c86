import { request as ask } from 'node:http'
import type { AddressInfo } from 'node:net'
import { afterAll, beforeAll, beforeEach, expect, test } from 'vitest'
import { buildApp } from '../../server/app.ts'
import type { App } from '../../server/http/route.ts'
import { Person, startGroup } from '../support/app.ts'
import { noBundles } from '../support/no-assets.ts'
import { until } from '../support/until.ts'

/*
 * Whatever one member reads at once, the others' requests have their turn. A page that takes long is one that waits here.
 */

const atOnce = 4
let group: Awaited<ReturnType<typeof startGroup>>
let app: App
let [ada, ben] = [] as unknown as [Person, Person]
let [begun, open, held] = [0, () => {}, Promise.resolve()]

beforeAll(async () => {
  group = await startGroup()
  app = await buildApp({ db: group.db, assets: { folder: import.meta.dirname, manifest: noBundles } })
  app.get('/long', async () => {
    begun += 1
    await held
    return ''
  })
  ;[ada, ben] = [group.ada, group.ben].map(({ id, cookie }) => new Person(app, id, cookie)) as [Person, Person]
})
afterAll(async () => {
  await app.close()
  await group.close()
})
beforeEach(() => {
  begun = 0
  held = new Promise((letGo) => {
    open = letGo
  })
})

const many = (times: number) => Array.from({ length: times }, () => ada.page('/long'))

test('of one member’s pages a few are worked out at a time, and the others in their turn', async () => {
  const all = many(20)
  await until(() => begun === atOnce)
  expect((await ben.page('/units')).statusCode).toBe(200)
  const bens = ben.page('/long')
  await until(() => begun === atOnce + 1)
  open()
  expect((await Promise.all([...all, bens])).map(({ statusCode }) => statusCode)).toEqual(Array(21).fill(200))
  expect(begun).toBe(21)
})

test('asked for the heads alone, they wait for nothing but their turn', async () => {
  open()
  const heads = Array.from({ length: 20 }, () =>
    app.inject({ method: 'HEAD', url: '/long', headers: { cookie: ada.cookie ?? '' } }),
  )
  expect((await Promise.all(heads)).map(({ statusCode }) => statusCode)).toEqual(Array(20).fill(200))
})

test('more than any browser asks for are refused, and told when to come again', async () => {
  const answered: [number, unknown][] = []
  const all = many(atOnce + 200 + 2).map(async (answer) => {
    const { statusCode, headers } = await answer
    answered.push([statusCode, headers['retry-after']])
  })
  await until(() => answered.length > 0)
  open()
  await Promise.all(all)
  expect(answered.slice(0, 3)).toEqual([
    [429, '10'],
    [429, '10'],
    [200, undefined],
  ])
})

test('nothing is worked out for whoever has gone meanwhile', async () => {
  await app.listen({ port: 0, host: '127.0.0.1' })
  const { port } = app.server.address() as AddressInfo
  let [arrived, gone] = [0, 0]
  app.server.on('request', ({ socket }) => {
    arrived += 1
    socket.on('close', () => {
      gone += 1
    })
  })
  const held = many(atOnce)
  await until(() => begun === atOnce)
  const calls = Array.from({ length: 5 }, () => {
    const call = ask({ port, host: '127.0.0.1', path: '/long', headers: { cookie: ada.cookie } }).on('error', () => {})
    call.end()
    return call
  })
  await until(() => arrived === calls.length)
  for (const call of calls) call.destroy()
  await until(() => gone === calls.length)
  open()
  await Promise.all([...held, ada.page('/long')])
  expect(begun).toBe(atOnce + 1)
})
