import type { LightMyRequestResponse } from 'fastify'
import { sql } from 'kysely'
import { afterAll, beforeAll, expect, test } from 'vitest'
import type { Person } from '../support/app.ts'
import { aFile, aUnit } from '../support/catalogue.ts'
import { hasConnections, hold } from '../support/held.ts'
import { aRoster, type Group, planned, startGroup, twoUnits } from '../support/rosters.ts'
import { until } from '../support/until.ts'

/*
 * Plans and what-ifs wait for the same few threads, and are kept in memory until it is their turn. Ada means harm: whatever
 * she asks, Ben's have their turn.
 */

let group: Group
beforeAll(async () => {
  group = await startGroup()
})
afterAll(() => group.close())

/** Rosters of somebody's that are planned. */
async function plannedRosters(person: Person, count: number): Promise<string[]> {
  const { roster, units } = await twoUnits(person)
  const text = `5 x ${units[0]?.name}`
  const others = await Promise.all(Array.from({ length: count - 1 }, () => aRoster(person, { text })))
  const ids = [roster, ...others].map(({ id }) => id)
  for (const id of ids) await planned(person, id)
  return ids
}

const plan = (person: Person, id: string) => person.post(`/rosters/${id}/plan`, {})

test('so many rosters of one member are planned at a time; the next is refused, over REST and on its page', async () => {
  const { ada, ben, db } = group
  const [first, ...others] = await plannedRosters(ada, 4)
  const running = db.updateTable('rosterPlan').set({ heartbeatAt: sql`now() + interval '1 hour'` })
  await running.set({ state: 'running' }).where('rosterId', 'in', others).execute()

  const refused = await plan(ada, first ?? '')
  expect([refused.statusCode, refused.json().detail]).toEqual([409, expect.stringContaining('3 of your rosters')])
  const page = await ada.submit(`/rosters/${first}/plan`, {})
  expect([page.statusCode, page.body]).toEqual([422, expect.stringContaining('3 of your rosters')])
  const [bens] = await plannedRosters(ben, 1)
  expect((await plan(ben, bens ?? '')).statusCode).toBe(202)

  await running.set({ state: 'done' }).where('rosterId', 'in', others.slice(1)).execute()
  expect((await plan(ada, first ?? '')).statusCode).toBe(202)
  await running.set({ state: 'done' }).where('rosterId', 'in', others).execute()
})

test('a roster that leaves more to choose from than there is memory for is not planned', async () => {
  const { ada } = group
  const { id, name } = await aUnit(ada)
  for (let index = 0; index < 42; index++) await aFile(ada, { standsInFor: [id] })
  const roster = await aRoster(ada, { text: `5 x ${name}\n`.repeat(500) })
  const refused = await plan(ada, roster.id)
  expect([refused.statusCode, refused.json().detail]).toEqual([422, expect.stringContaining('21,000 files')])
  const page = await ada.submit(`/rosters/${roster.id}/plan`, {})
  expect([page.statusCode, page.body]).toEqual([422, expect.stringContaining('21,000 files')])
})

type Ask = (person: Person, id: string) => Promise<LightMyRequestResponse>
const busy: [what: string, ask: Ask, fine: number][] = [
  ['plans that are begun', plan, 202],
  ['what-ifs', (person, id) => person.get(`/rosters/${id}/plan/what-ifs?kind=other plans`), 200],
]

test.skipIf(!hasConnections).each(busy)('of one member’s %s one is worked on and two wait', async (_, ask, fine) => {
  const { ada, ben, place } = group
  const [mine, bens] = [await plannedRosters(ada, 5), await plannedRosters(ben, 1)]
  const held = await hold(place, 'select from roster_plan where roster_id = any($1) for update', [mine])
  const answered: number[] = []
  const all = mine.map(async (id) => answered.push((await ask(ada, id)).statusCode))
  await until(async () => answered.length >= 2)
  expect(answered).toEqual([429, 429])
  expect((await ask(ben, bens[0] ?? '')).statusCode).toBe(fine)
  await held.letGo()
  await Promise.all(all)
  expect(answered.slice(2)).toEqual([fine, fine, fine])
})
