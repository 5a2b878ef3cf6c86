import { sql } from 'kysely'
import { afterAll, beforeAll, expect, inject, test } from 'vitest'
import { openDatabase } from '../../db/connect.ts'
import { freshPlace } from '../support/database.ts'
import { Client } from './client.ts'
import { expectOneLine } from './refusal.ts'
import { buildProgram, environmentOf, type Program, runToEnd, startService } from './service.ts'

let program: Program
beforeAll(async () => {
  program = await buildProgram()
})
afterAll(() => program.remove())

test('a newer database is refused, and left as it is', async () => {
  const { place, remove } = await freshPlace()
  const { db, close } = await openDatabase(place)
  await sql`insert into kysely_migration (name, timestamp) values ('999-later', '2030-01-01')`.execute(db)
  await close()
  const { code, said } = await runToEnd(program, environmentOf(place))
  expect(said).toMatch(/^The database is newer than this program, which does not know its steps 999-later\./)
  expectOneLine(said)
  expect(code).toBe(1)
  await remove()
})

const { kind } = inject('template')

test.runIf(kind === 'embedded')('a second process on the same folder is refused, and does no harm', async () => {
  const { place, remove } = await freshPlace()
  const first = await startService(program, place)
  const odile = new Client(() => first.address)
  await odile.setUp()
  const { code, said } = await runToEnd(program, { DATA_DIR: place.dataDir })
  expect(said).toMatch(new RegExp(`^The folder .+ is in use by process ${first.process.pid} on `))
  expectOneLine(said)
  expect(code).toBe(1)
  expect((await odile.get('/me')).status).toBe(200)
  expect(await first.end('SIGTERM')).toBe(0)
  const again = await startService(program, place)
  const same = new Client(() => again.address)
  same.cookie = odile.cookie
  expect((await same.get('/me')).status).toBe(200)
  await again.end('SIGTERM')
  await remove()
})

test.runIf(kind === 'postgresql')('two processes on one PostgreSQL database are one service', async () => {
  const { place, remove } = await freshPlace()
  const [one, two] = await Promise.all([startService(program, place), startService(program, place)])
  const odile = new Client(() => one.address)
  await odile.setUp()
  const beside = new Client(() => two.address)
  beside.cookie = odile.cookie
  const id = await beside.make('/units', { name: 'Otters', scaleMm: 28 })
  expect((await odile.get(`/units/${id}`)).json()).toMatchObject({ name: 'Otters' })
  const key = { 'idempotency-key': 'once-on-either' }
  const body = { name: 'Stoats', scaleMm: 28 }
  const answers = await Promise.all([odile, beside].map((client) => client.post('/units', body, key)))
  expect(answers.map(({ status, text }) => [status, text])).toEqual([
    [201, answers[1]?.text],
    [201, answers[0]?.text],
  ])
  await odile.send('DELETE', '/api/v1/sessions/current')
  expect((await beside.get('/me')).status).toBe(401)
  await Promise.all([one.end('SIGTERM'), two.end('SIGTERM')])
  await remove()
})
