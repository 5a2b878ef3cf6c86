import { sql } from 'kysely'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type Group, planned, startGroup, twoUnits } from '../../support/rosters.ts'

/*
 * JSON in the database may have been written by an earlier version, in which a field was called otherwise or was not
 * there. So each key is taken out in turn, as deep as there are any.
 */

type Json = null | boolean | number | string | Json[] | { [key: string]: Json }

/** The value once for each key that it has, in whatever depth, without this key. Of a list the first item stands for all. */
function without(value: Json): Json[] {
  if (value === null || typeof value !== 'object') return []
  if (Array.isArray(value)) return without(value[0] ?? null).map((first) => [first, ...value.slice(1)])
  return Object.entries(value).flatMap(([key, inner]) => {
    const { [key]: _, ...rest } = value
    return [rest, ...without(inner).map((changed) => ({ ...rest, [key]: changed }))]
  })
}

describe('a plan that an earlier version stored', () => {
  let { db, close, ada } = {} as Group
  let id: string
  beforeAll(async () => {
    ;({ db, close, ada } = await startGroup())
    id = (await twoUnits(ada)).roster.id
    await planned(ada, id, { theme: 'mud' })
    await ada.get(`/rosters/${id}/plan/what-ifs?kind=other%20plans`)
  })
  afterAll(() => close())

  type Column = 'asked' | 'outcome' | 'progress' | 'alternatives' | 'instance'

  const store = (column: Column, value: Json) =>
    sql`update roster_plan set ${sql.ref(column)} = ${JSON.stringify(value)}::json where roster_id = ${id}`.execute(db)

  async function stored(column: Column): Promise<Json> {
    const { rows } = await sql<{ value: Json }>`
      select ${sql.ref(column)} as value from roster_plan where roster_id = ${id}`.execute(db)
    return rows[0]?.value ?? null
  }

  const answers = async () => ({
    page: await ada.page(`/rosters/${id}`),
    plan: await ada.get(`/rosters/${id}/plan`),
    whatIf: await ada.get(`/rosters/${id}/plan/what-ifs?kind=without%20memberships`),
    spend: await ada.get(`/rosters/${id}/spend`),
  })
  const words = 'Planned by an earlier version: plan again.'

  const times = (key: string, json: Json) => JSON.stringify(json).split(`"${key}":`).length

  test('is told to be planned again, whatever it lacks', async () => {
    const outcome = await stored('outcome')
    // What plans of the version before did not have either: they are read without it.
    const lackable = ['rates', 'terms', 'plate', 'foot']
    const cases = without(outcome).filter((changed) =>
      lackable.every((key) => times(key, changed) === times(key, outcome)),
    )
    expect(cases.length).toBeGreaterThan(50)
    const readable: string[] = []
    for (const changed of cases) {
      await store('outcome', changed)
      const { page, plan, whatIf, spend } = await answers()
      expect([page.statusCode, spend.statusCode]).toEqual([200, 200])
      if (plan.statusCode === 200) readable.push(JSON.stringify(changed))
      else {
        expect([plan.statusCode, whatIf.statusCode]).toEqual([409, 409])
        expect(plan.json().detail).toBe('This roster was planned by an earlier version: plan it again.')
        expect(page.body).toContain(words)
      }
    }
    expect(readable).toEqual([])
    await store('outcome', outcome)
    expect((await answers()).page.body).not.toContain(words)
  })

  test.each<[Column, Json]>([
    ['asked', { budget: 12 }],
    ['asked', []],
    ['progress', { phase: 'third' }],
    ['alternatives', [{ money: '3.00' }]],
    ['outcome', { plan: { offers: [] } }],
    ['outcome', 'planned'],
  ])('is so with a strange %s: %j', async (column, value) => {
    const before = await stored(column)
    await store(column, value)
    const { page, plan } = await answers()
    expect([page.statusCode, plan.statusCode]).toEqual([200, 409])
    expect(page.body).toContain(words)
    await store(column, before)
  })

  test('is so for what-ifs alone where only what it was made from can’t be read', async () => {
    await store('instance', { entries: [{ id: 'one' }] })
    const { page, plan, whatIf } = await answers()
    expect([page.statusCode, plan.statusCode, whatIf.statusCode]).toEqual([200, 200, 409])
    expect((await ada.page(`/rosters/${id}?whatIf=without%20memberships`)).statusCode).toBe(409)
  })

  test('is planned again by the button beside', async () => {
    await store('outcome', {})
    expect((await ada.page(`/rosters/${id}`)).body).toContain('Plan again')
    expect((await ada.submit(`/rosters/${id}/plan`, {})).statusCode).toBe(303)
    const { page, plan } = await answers()
    expect(plan.statusCode).toBe(200)
    expect(page.body).not.toContain(words)
  })

  test('an answer to a POST that is repeated in another form than today’s is refused, and nothing is done twice', async () => {
    const headers = { 'idempotency-key': 'across-an-update' }
    const body = { name: 'Reed Pikes', scaleMm: 28 }
    const first = await ada.post('/units', body, { headers })
    const repeat = () => ada.post('/units', body, { headers })
    expect((await repeat()).json()).toEqual(first.json())
    for (const kept of [{ payload: { id: first.json().id, title: 'Reed Pikes' } }, { was: {} }, []]) {
      await db
        .updateTable('answeredPost')
        .set({ body: JSON.stringify(kept) })
        .where('key', '=', 'across-an-update')
        .execute()
      expect((await repeat()).statusCode).toBe(409)
    }
    expect((await ada.get('/units?q=reed%20pikes')).json().items).toHaveLength(1)
  })
})
