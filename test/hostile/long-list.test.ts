import { setImmediate } from 'node:timers/promises'
import { sql } from 'kysely'
import { afterAll, beforeAll, expect, inject, test } from 'vitest'
import { army } from '../../server/features/rosters/army/queries.ts'
import { aRoster, aStandIn, type Group, type MadeEntry, startGroup } from '../support/rosters.ts'

/*
 * A list that is longer than any army: whoever pastes one, and has it planned, keeps nobody waiting.
 */

let group: Group
let roster: { id: string }
/** More than a roster takes now: an earlier version took them. */
const lines = 520
beforeAll(async () => {
  group = await startGroup()
  const { ada, db } = group
  // No price of a box is known.
  const { unit } = await aStandIn(ada, { unit: { retailPrice: null } })
  roster = await aRoster(ada, { text: `5 x ${unit.name}\n`.repeat(500) })
  await sql`insert into roster_entry (id, roster_id, place, words, unit_id, models)
    select gen_random_uuid(), roster_id, place + 500, words, unit_id, models from roster_entry
    where roster_id = ${roster.id} order by place limit ${lines - 500}`.execute(db)
})
afterAll(() => group.close())

test('one that is too long to be read is refused beside what was pasted', async () => {
  const { ada } = group
  for (const path of ['/rosters/new', `/rosters/${roster.id}/paste`]) {
    const refused = await ada.submit(path, { name: 'Long', text: 'x'.repeat(1_000_001) })
    expect([path, refused.statusCode]).toEqual([path, 422])
    expect(refused.body).toContain('At most 500 lines at a time.')
  }
})

test('it is copied whole: every line in its place, with what it may mean, though it is longer than a roster takes now', async () => {
  const { ada, ben, db } = group
  await ada.patch(`/rosters/${roster.id}`, { shared: true })
  await sql`update roster_entry set unit_id = null where roster_id = ${roster.id} and place > ${lines - 20}`.execute(db)
  const told = ({ words, unit, nearest, models }: MadeEntry) => ({ words, unit, nearest, models })
  const original = (await ada.get(`/rosters/${roster.id}`)).json().entries.map(told)
  const copied = await ben.post(`/rosters/${roster.id}/copy`, {}, { headers: { 'idempotency-key': 'whole' } })
  expect([copied.statusCode, copied.json().entries.length]).toEqual([201, lines])
  expect(copied.json().entries.map(told)).toEqual(original)
  expect(original.at(-1)).toMatchObject({ unit: null, nearest: [{ name: original[0].unit.name }] })
  await sql`update roster_entry set unit_id = (select id from unit) where roster_id = ${roster.id}`.execute(db)
})

test('its plan is told as that of any list', async () => {
  const { ada } = group
  const made = await ada.post(`/rosters/${roster.id}/plan`, { timeLimitS: 1 })
  expect([made.statusCode, made.json().totals?.withoutRetail.length]).toEqual([202, lines])
  expect((await ada.get(`/rosters/${roster.id}/plan`)).statusCode).toBe(200)
  expect((await ada.post(`/rosters/${roster.id}/plan/stop`)).statusCode).toBe(204)
})

interface Node {
  'Group Key'?: string[]
  'Actual Loops': number
  Plans?: Node[]
}
const nodesOf = (node: Node): Node[] => [node, ...(node.Plans ?? []).flatMap(nodesOf)]

test('its plan is summed up once for all of its entries, also by a database that takes it for short', async () => {
  const rows = await group.db.transaction().execute(async (trx) => {
    // What the planner chooses for a few rows, in the order in which they are joined.
    for (const join of ['hashjoin', 'mergejoin', 'material'])
      await sql`set local ${sql.raw(`enable_${join}`)} = off`.execute(trx)
    for (const limit of ['from', 'join']) await sql`set local ${sql.raw(`${limit}_collapse_limit`)} = 1`.execute(trx)
    const explained = sql<object>`explain (analyze, timing off, format json) select army.* from roster_entry
      join ${army(sql`select unnest(${[roster.id]}::uuid[])`)} army on army.entry_id = roster_entry.id
      where roster_entry.roster_id = any(${[roster.id]}::uuid[])`
    return (await explained.execute(trx)).rows
  })
  const [[said]] = rows.map((row) => Object.values(row)) as [[unknown]]
  const [{ Plan: plan }] = (typeof said === 'string' ? JSON.parse(said) : said) as [{ Plan: Node }]
  const sums = nodesOf(plan).filter((node) => node['Group Key']?.some((key) => /entry_?id/i.test(key)))
  expect(sums.map((node) => node['Actual Loops'])).toEqual([1])
})

// Which has one connection: what holds it keeps all others waiting.
const isEmbedded = inject('template').kind === 'embedded'

test.skipIf(isEmbedded)('its entries are planned a few times, and not anew for each reader', async () => {
  const { ada, db } = group
  for (let time = 0; time < 8; time++) expect((await ada.page(`/rosters?said=${time}`)).statusCode).toBe(200)
  const { rows } = await sql<{ generic: string }>`select generic_plans as generic from pg_prepared_statements
    where name <> '' and statement like '%roster_entry%row_number()%'`.execute(db)
  expect(rows.length).toBeGreaterThan(0)
  for (const { generic } of rows) expect(Number(generic)).toBeGreaterThan(0)
})

test.runIf(isEmbedded)(
  'while the lines of a list are looked up others have their turn, also if it is to be added or copied once',
  async () => {
    const { ada, ben } = group
    const text = Array.from({ length: 500 }, (_, index) => `Marsh Folk of house ${index} and a half`).join('\n')
    const adding = (key: string) =>
      ada.post('/rosters', { name: 'Houses', text }, { headers: { 'idempotency-key': key } })
    const { id } = (await adding('first')).json()
    const copying = () => ada.post(`/rosters/${id}/copy`, {}, { headers: { 'idempotency-key': 'copy' } })
    for (const making of [() => adding('houses'), copying]) {
      const answered: string[] = []
      const made = making().then(({ statusCode }) => answered.push(`made ${statusCode}`))
      // By then it is being worked on.
      for (let turn = 0; turn < 20; turn++) await setImmediate()
      for (let turn = 0; turn < 3; turn++) answered.push(`read ${(await ben.get('/units')).statusCode}`)
      await made
      expect(answered).toEqual([...Array(3).fill('read 200'), 'made 201'])
    }
  },
)
