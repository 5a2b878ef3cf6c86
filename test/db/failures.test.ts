import { setImmediate as restOfTurn } from 'node:timers/promises'
import { sql } from 'kysely'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type Db, openDatabase } from '../../db/connect.ts'
import { databaseIsAway, uniqueViolation } from '../../db/failures.ts'
import { freshDatabase } from '../support/database.ts'
import { until } from '../support/until.ts'

const database = await freshDatabase()
const { db, kind } = database
afterAll(() => database.close())

const failure = (work: Promise<unknown>) =>
  work.then(
    () => expect.unreachable('it should fail'),
    (error: unknown) => error,
  )
const run = (statement: string, on: Db = db) => sql.raw(statement).execute(on)

describe('a refused row', () => {
  beforeAll(async () => {
    await run('create table slot (n int not null check (n > 0), constraint slot_taken unique (n))')
    await run('create unique index slot_parity on slot ((n % 10)) where n > 10')
    await run('insert into slot values (1), (12)')
  })

  test.each([
    ['insert into slot values (1)', 'slot_taken'],
    ['insert into slot values (22)', 'slot_parity'],
    ['insert into slot values (0)', undefined],
    ['insert into slot values (null)', undefined],
    ['insert into slots values (1)', undefined],
  ])('%s -> %s', async (statement, constraint) => {
    const error = await failure(run(statement))
    expect(uniqueViolation(error)).toBe(constraint)
    expect(databaseIsAway(error)).toBe(false)
  })

  test('errors of other kinds are neither', () => {
    for (const other of [
      undefined,
      null,
      'x',
      new Error('x'),
      Object.assign(new Error('no file'), { code: 'ENOENT' }),
    ]) {
      expect(uniqueViolation(other)).toBeUndefined()
      expect(databaseIsAway(other)).toBe(false)
    }
  })
})

describe('the database is away', () => {
  test.each([
    ['nobody listens there', 'postgresql://nobody@127.0.0.1:1/none'],
    ['no such socket', 'postgresql://nobody@localhost/none?host=/nowhere'],
    ['no such machine', 'postgresql://nobody@nowhere.invalid/none'],
  ])('%s', async (_, url) => {
    const other = await openDatabase({ url })
    expect(databaseIsAway(await failure(run('select 1', other.db)))).toBe(true)
    await other.close()
  })

  test('after it was closed', async () => {
    const other = await openDatabase(kind === 'postgresql' ? database.place : { dataDir: 'memory' })
    await run('select 1', other.db)
    await other.close()
    expect(databaseIsAway(await failure(run('select 1', other.db)))).toBe(true)
  })
})

describe.runIf(kind === 'postgresql')('a lost connection', () => {
  const idOf = async (on: Db) => (await sql<{ pid: number }>`select pg_backend_pid() as pid`.execute(on)).rows[0]?.pid
  const end = (pid: number | undefined, by: Db) => sql`select pg_terminate_backend(${pid})`.execute(by)
  /** And waits until it is gone, and its last words, which are here by then, have been read, too. */
  const endFor = async (pid: number | undefined) => {
    await end(pid, db)
    const left = () => sql`select from pg_stat_activity where pid = ${pid}`.execute(db)
    await until(async () => (await left()).rows.length === 0)
    await restOfTurn()
  }

  test('while a statement runs', async () => {
    const error = await failure(
      db.connection().execute(async (connection) => {
        const pid = await idOf(connection)
        const sleeping = failure(run('select pg_sleep(20)', connection))
        await end(pid, db)
        throw await sleeping
      }),
    )
    expect(databaseIsAway(error)).toBe(true)
    // The pool drops the connection when its end arrives, which is a moment after the error
    await until(() => run('select 1'))
  })

  test('between the statements of a transaction', async () => {
    const error = await failure(
      db.transaction().execute(async (transaction) => {
        await endFor(await idOf(transaction))
        await run('select 1', transaction)
      }),
    )
    expect(databaseIsAway(error)).toBe(true)
    await run('select 1')
  })

  test('while nobody uses it does not show', async () => {
    const other = await openDatabase(database.place)
    await endFor(await idOf(other.db))
    await run('select 1', other.db)
    await other.close()
  })

  test('is not what a statement that took too long is', async () => {
    const error = await failure(
      db.transaction().execute(async (transaction) => {
        await run("set local statement_timeout = '50ms'", transaction)
        await run('select pg_sleep(5)', transaction)
      }),
    )
    expect(error).toMatchObject({ code: '57014' })
    expect(databaseIsAway(error)).toBe(false)
  })
})
