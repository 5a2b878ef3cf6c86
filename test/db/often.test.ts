import { sql } from 'kysely'
import { afterAll, beforeAll, expect, test } from 'vitest'
import type { Db } from '../../db/connect.ts'
import { often, unseen } from '../../db/often.ts'
import { freshDatabase } from '../support/database.ts'

let database: Awaited<ReturnType<typeof freshDatabase>>
let db: Db

beforeAll(async () => {
  database = await freshDatabase()
  db = database.db
})
afterAll(() => database.close())

test('a statement is built once, and asked with what is given each time', async () => {
  let builds = 0
  const sum = often((_, { left, right }: { left: number; right: number }) => {
    builds++
    return sql<{ sumOfTwo: number }>`select ${left}::int + ${right}::int as sum_of_two`
  })
  expect(await sum(db, { left: 1, right: 2 })).toEqual([{ sumOfTwo: 3 }])
  expect(await sum(db, { left: 40, right: 2 })).toEqual([{ sumOfTwo: 42 }])
  expect(builds).toBe(1)
})

test('it belongs to the transaction that it is handed', async () => {
  const add = often((on, given: { currency: string; worth: number }) =>
    on.insertInto('rate').values({ ...given, currency: given.currency, worth: given.worth, seenOn: '2026-01-01' }),
  )
  const undone = db.transaction().execute(async (trx) => {
    await add(trx, { currency: 'NOK', worth: 0.09 })
    throw new Error('undo')
  })
  await expect(undone).rejects.toThrow('undo')
  expect(await db.selectFrom('rate').select('currency').execute()).toEqual([])
})

test('PostgreSQL keeps it by a name', async () => {
  const seven = often((_, { n }: { n: number }) => sql<{ n: number }>`select ${n}::int as n -- kept`)
  await db.connection().execute(async (connection) => {
    await seven(connection, { n: 7 })
    expect(await seven(connection, { n: 8 })).toEqual([{ n: 8 }])
    const { rows } = await sql<{ name: string }>`
      select name from pg_prepared_statements where statement like '%-- kept' and name <> ''`.execute(connection)
    expect(rows).toHaveLength(database.place.url ? 1 : 0)
  })
})

test('what is given stands for a value alone: a text that would depend on it is refused', async () => {
  const wrong = often((on, { most }: { most: number }) => on.selectFrom('rate').select('currency').limit(sql.lit(most)))
  const asText = often((_, { name }: { name: string }) => sql`select ${sql.raw(`'${name}'`)}`)
  await expect(wrong(db, { most: 3 })).rejects.toThrow()
  await expect(asText(db, { name: 'x' })).rejects.toThrow(TypeError)
})

test('what is the same every time stands in the text, and comes to nothing else', async () => {
  const odd = ["it's", 'a\\b', '$1', '']
  const same = often((on, { n }: { n: number }) =>
    on
      .selectNoFrom([
        sql<number>`${n}::int`.as('given'),
        sql<string>`${odd[0]} || ${odd[1]} || ${odd[2]} || ${odd[3]}`.as('text'),
        sql<boolean>`${true}`.as('yes'),
        sql<string | null>`${null}`.as('none'),
      ])
      .where(sql<number>`${n}::int`, 'in', [7, -8]),
  )
  const text = odd.join('')
  expect(await same(db, { n: -8 })).toEqual([{ given: -8, text, yes: true, none: null }])
  expect(await same(db, { n: 9 })).toEqual([])
})

test('PostgreSQL settles for one plan of what it does not see', async () => {
  const some = often(
    (_, { names }: { names: string[] }) =>
      sql<{ id: string }>`select id from member where id = any(${unseen(names, 'uuid[]')}) -- settled`,
  )
  await db.connection().execute(async (connection) => {
    for (let time = 0; time < 10; time++) expect(await some(connection, { names: [] })).toEqual([])
    const { rows } = await sql<{ genericPlans: string }>`
      select generic_plans from pg_prepared_statements where statement like '%-- settled' and name <> ''`.execute(
      connection,
    )
    if (database.place.url) expect(Number(rows[0]?.genericPlans)).toBe(5)
  })
})
