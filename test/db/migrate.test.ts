import { createHash } from 'node:crypto'
import { readFile } from 'node:fs/promises'
import { sql } from 'kysely'
import type { Migration } from 'kysely/migration'
import { afterAll, beforeEach, describe, expect, test } from 'vitest'
import { openDatabase } from '../../db/connect.ts'
import { migrate, NewerDatabase } from '../../db/migrate.ts'
import { migrations } from '../../db/migrations/index.ts'
import { freshDatabase } from '../support/database.ts'
import { hasConnections, hold } from '../support/held.ts'

const database = await freshDatabase()
const { db, kind, place } = database
afterAll(() => database.close())

const step = (statement: string): Migration => ({ up: async (trx) => void (await sql.raw(statement).execute(trx)) })
const first = { '1-first': step('create table first (n int)') }
const both = { ...first, '2-second': step('create table second (n int)') }

async function tables(): Promise<string[]> {
  const { rows } = await sql<{ name: string }>`select tablename as name from pg_tables
    where schemaname = 'public' and tablename not like 'kysely%' order by tablename`.execute(db)
  return rows.map((row) => row.name)
}

test('our own steps are done already in the database of a test, and once more is nothing', async () => {
  expect(await migrate(db)).toEqual([])
  expect((await tables()).length).toBeGreaterThan(10)
})

/** What has been released: a database may have been made by it, so that a change of it would never get there. */
const released = {
  '001-members.ts': 'ee4c264e6dcaa412',
  '002-catalogue.ts': '4713c7bd0928dd2c',
  '003-requests.ts': '9ba1fd2fb7df9c9d',
  '004-printing.ts': '4f22771248e121cc',
  '005-scoring.ts': 'bf55d438735d8ff5',
  '006-rosters.ts': '282fee51ae7eb0d0',
}

test.each(Object.entries(released))('%s is as it was released', async (name, hash) => {
  const text = await readFile(new URL(`../../db/migrations/${name}`, import.meta.url))
  expect(createHash('sha256').update(text).digest('hex').slice(0, 16)).toBe(hash)
})

describe('on an empty database', () => {
  beforeEach(async () => {
    await sql`drop schema public cascade`.execute(db)
    await sql`create schema public`.execute(db)
  })

  test('all of our own steps run', async () => {
    expect(await migrate(db)).toEqual(Object.keys(migrations))
  })

  test('sessions from before their list are kept, and stand in it in their order', async () => {
    const upTo = (last: string) => Object.fromEntries(Object.entries(migrations).filter(([name]) => name <= last))
    await migrate(db, upTo('010'))
    await sql`insert into member (id, name, email, password_hash, role)
      values (gen_random_uuid(), 'Ada', 'ada@group.example', 'none', 'owner')`.execute(db)
    await sql`insert into session (id_hash, member_id, created_at, expires_at)
      select 'of day ' || day, id, '2026-03-01T00:00Z'::timestamptz + day * interval '1 day', now()
      from member, generate_series(1, 9) day`.execute(db)
    await migrate(db, upTo('010-sessions'))
    const rows = await db.selectFrom('session').select(['idHash', 'id', 'place', 'browser']).orderBy('id').execute()
    expect(rows.map(({ idHash }) => idHash)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9].map((day) => `of day ${day}`))
    // RFC 9562, section 5.7: version 7, variant 10, and 48 bits of milliseconds.
    for (const { id } of rows) expect(id).toMatch(/^[\da-f]{8}-[\da-f]{4}-7[\da-f]{3}-[89ab][\da-f]{3}-[\da-f]{12}$/)
    expect(Number.parseInt(String(rows[0]?.id).replace('-', '').slice(0, 12), 16)).toBe(Date.UTC(2026, 2, 2))
    expect(rows[0]).toMatchObject({ place: null, browser: null })
  })

  test('who wrote what was changed before it was noted is not guessed, and copies of rosters are nobody else’s', async () => {
    const before = Object.fromEntries(Object.entries(migrations).filter(([name]) => name < '009'))
    await migrate(db, before)
    const id = (last: number) => `01900000-0000-7000-8000-00000000000${last}`
    await sql`insert into member (id, name, email, password_hash, role)
      values (${id(1)}, 'Ada', 'ada@example.org', '', 'member')`.execute(db)
    await sql`insert into sculptor (id, name, credit) values (${id(2)}, 'Wilma', 'unnamed')`.execute(db)
    for (const [place, version] of [1, 2].entries())
      await sql`insert into file (id, title, sculptor_id, created_by, version)
        values (${id(3 + place)}, ${`Set ${version}`}, ${id(2)}, ${id(1)}, ${version})`.execute(db)
    for (const [place, name] of ['Autumn', 'Autumn (copy)'].entries())
      await sql`insert into roster (id, owner_id, name) values (${id(5 + place)}, ${id(1)}, ${name})`.execute(db)
    expect(await migrate(db)).toContain('009-names')
    const files = await db.selectFrom('file').select(['title', 'othersWords']).orderBy('id').execute()
    expect(files).toEqual([
      { title: 'Set 1', othersWords: [] },
      { title: 'Set 2', othersWords: ['title', 'licence', 'remark', 'options', 'styleTags'] },
    ])
    const rosters = await db.selectFrom('roster').select(['name', 'shared']).orderBy('id').execute()
    expect(rosters).toEqual([
      { name: 'Autumn', shared: true },
      { name: 'Autumn (copy)', shared: false },
    ])
  })

  test('missing steps run in their order, once', async () => {
    expect(await migrate(db, first)).toEqual(['1-first'])
    expect(await migrate(db, both)).toEqual(['2-second'])
    expect(await migrate(db, both)).toEqual([])
    expect(await tables()).toEqual(['first', 'second'])
  })

  test('a step that fails undoes the ones before it', async () => {
    await expect(migrate(db, { ...first, '2-wrong': step('create tabel') })).rejects.toThrow('syntax error')
    expect(await tables()).toEqual([])
  })

  test('a newer database is refused and left as it is', async () => {
    await migrate(db, both)
    const attempt = migrate(db, { ...first, '1-third': step('drop table first') })
    await expect(attempt).rejects.toThrow(NewerDatabase)
    await expect(attempt).rejects.toThrow('2-second')
    expect(await tables()).toEqual(['first', 'second'])
  })

  test.runIf(hasConnections)('of several that start at once, one does the steps and the others wait', async () => {
    const held = await hold(place, 'select pg_advisory_xact_lock(1)')
    const slow = { ...both, '3-slow': step('select pg_advisory_xact_lock(1)') }
    const starting = await Promise.all([1, 2, 3, 4].map(() => openDatabase(place)))
    const done = starting.map((one) => migrate(one.db, slow))
    // One in its last step, for what is held here, and three for that one.
    await held.untilWaiting(4)
    await held.letGo()
    expect((await Promise.all(done)).map((steps) => steps.length).sort()).toEqual([0, 0, 0, 3])
    await Promise.all(starting.map((one) => one.close()))
  })

  test.runIf(kind === 'postgresql')('a step may take as long as it likes, other statements may not', async () => {
    const patience = "current_setting('statement_timeout') as timeout"
    await migrate(db, { '1-look': step(`create table seen as select ${patience}`) })
    const { rows } = await sql`select timeout from seen union all select ${sql.raw(patience)}`.execute(db)
    expect(rows).toEqual([{ timeout: '0' }, { timeout: '30s' }])
  })
})
