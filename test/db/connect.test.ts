import { sql } from 'kysely'
import { afterAll, describe, expect, test } from 'vitest'
import { inTransaction, openDatabase } from '../../db/connect.ts'
import { freshDatabase } from '../support/database.ts'

// The suite runs on PostgreSQL and on the embedded database, and has to find the same on both.
const database = await freshDatabase()
const { db } = database
afterAll(() => database.close())

async function value(expression: string): Promise<unknown> {
  const { rows } = await sql<{ value: unknown }>`select (${sql.raw(expression)}) as value`.execute(db)
  return rows[0]?.value
}

describe('values come out as', () => {
  test.each([
    ['select count(*)', 1],
    ['9007199254740991::int8', 9007199254740991],
    ['-9007199254740991::int8', -9007199254740991],
    ['12.50::numeric', 12.5],
    ['select avg(x) from (values (1), (2)) as v(x)', 1.5],
    ["'2024-02-29'::date", '2024-02-29'],
    ["'2026-03-29 01:30:00.125+02'::timestamptz", new Date('2026-03-28T23:30:00.125Z')],
    ["'0099-12-31 00:00+00'::timestamptz", new Date('0099-12-31T00:00:00Z')],
    ["'\\x00ff'::bytea", Buffer.from([0, 255])],
    ['true', true],
    ['1.5::float8', 1.5],
    ['null::int8', null],
    ["'{1,null,3}'::int8[]", [1, null, 3]],
    ["'{1.5,2}'::numeric[]", [1.5, 2]],
    ["'{2024-02-29,null}'::date[]", ['2024-02-29', null]],
    ["array['2026-01-01 00:00+00'::timestamptz]", [new Date('2026-01-01T00:00:00Z')]],
    [`array['a"b', 'c,d', null]`, ['a"b', 'c,d', null]],
    [`'{"some_key": [1, {"inner_key": null}]}'::jsonb`, { some_key: [1, { inner_key: null }] }],
    ["current_setting('timezone')", 'UTC'],
    ["lower('ÉÄ')", 'éä'],
  ])('%s', async (expression, expected) => {
    expect(await value(expression)).toEqual(expected)
  })

  test.each(['9007199254740992::int8', '(-9223372036854775808)::int8', "'infinity'::timestamptz"])(
    'an error where JavaScript has no such value: %s',
    async (expression) => {
      await expect(value(expression)).rejects.toThrow(RangeError)
      expect(await value('1')).toBe(1)
    },
  )
})

test('what goes in comes out', async () => {
  const sent = { text: 'Ä "\\\' \n€', day: '2024-02-29', at: new Date('2026-03-29T01:30:00.125Z'), big: 2 ** 53 - 1 }
  const { rows } = await sql`select ${sent.text}::text as text, ${sent.day}::date as day, ${sent.at}::timestamptz as at,
    ${sent.big}::int8 as big, ${['x', 'y,"z']}::text[] as list, ${JSON.stringify([{ a_b: 1 }])}::jsonb as json`.execute(
    db,
  )
  expect(rows[0]).toEqual({ ...sent, list: ['x', 'y,"z'], json: [{ a_b: 1 }] })
})

test('columns are named in camel case, keys inside JSON are left alone', async () => {
  const { rows } = await sql`select 1 as resin_ml, '{"resin_ml": 2}'::jsonb as as_sent`.execute(db)
  expect(rows[0]).toEqual({ resinMl: 1, asSent: { resin_ml: 2 } })
})

test('text with a NUL is refused, not cut off', async () => {
  await expect(sql`select ${'a\u0000b'}::text`.execute(db)).rejects.toThrow()
  expect(await value('1')).toBe(1)
})

describe('inTransaction', () => {
  const count = () => value('select count(*) from note')
  const write = (to: typeof db) => sql`insert into note values (1)`.execute(to)

  test('keeps what its work did, and undoes it when the work fails', async () => {
    await sql`create table note (n int)`.execute(db)
    await inTransaction(db, write)
    expect(await count()).toBe(1)
    await expect(
      inTransaction(db, async (transaction) => {
        await write(transaction)
        throw new Error('no')
      }),
    ).rejects.toThrow('no')
    expect(await count()).toBe(1)
  })

  test('joins the transaction that there is', async () => {
    const outer = inTransaction(db, async (transaction) => {
      await inTransaction(transaction, write)
      throw new Error('undo both')
    })
    await expect(outer).rejects.toThrow('undo both')
    expect(await count()).toBe(1)
  })

  test('does not pass for done when a statement in it had failed', async () => {
    const swallowed = inTransaction(db, async (transaction) => {
      await write(transaction)
      await sql`select 1 / 0`.execute(transaction).catch(() => {})
    })
    await expect(swallowed).rejects.toThrow()
    expect(await count()).toBe(1)
  })
})

test('closing twice, or before any query, does no harm', async () => {
  const second = await openDatabase(database.place.url ? database.place : { dataDir: 'memory' })
  await Promise.all([second.close(), second.close()])
  await expect(openDatabase({})).rejects.toThrow(TypeError)
})
