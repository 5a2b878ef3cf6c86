import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { sql } from 'kysely'
import { v7 } from 'uuid'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type OpenDatabase, openDatabase } from '../../db/connect.ts'
import { migrate } from '../../db/migrate.ts'
import { unitsNear } from '../../server/features/rosters/paste/queries.ts'
import { leastMs, leastOfTries } from '../support/growth.ts'

/*
 * Whoever adds many units of nearly the same name, and pastes a list of such names, has each line compared with each unit.
 * The embedded database does that in the thread that answers everybody, so it is asked here, whichever the run has.
 */

const [few, many] = [100, 600]
const folder = mkdtempSync(join(tmpdir(), 'understudy-like-names-'))
let database: OpenDatabase
beforeAll(async () => {
  database = await openDatabase({ url: undefined, dataDir: folder })
  await migrate(database.db)
  const member = { id: v7(), name: 'Ada', email: 'ada@group.example', passwordHash: '', role: 'owner' as const }
  await database.db.insertInto('member').values(member).execute()
  await addUnits(member.id, 1, few)
})
afterAll(async () => {
  await database.close()
  rmSync(folder, { recursive: true })
})

async function addUnits(createdBy: string, from: number, to: number): Promise<void> {
  await sql`insert into unit (id, name, aliases, scale_mm, created_by)
    select gen_random_uuid(), 'Fen Wardens of the ' || number || 'th lost column', array['50%_\\ of column ' || number], 28,
      ${createdBy}::uuid
    from generate_series(${from}::int, ${to}::int) number`.execute(database.db)
}

const lines = (count: number) => Array.from({ length: count }, (_, i) => `Fen Wardens of the ${7 * i}st lost colum`)

test('a line takes no longer where six times as many units come near', async () => {
  const look = () => unitsNear(database.db, lines(10))
  const before = await leastMs(look)
  const { id } = await database.db.selectFrom('member').select('id').executeTakeFirstOrThrow()
  await addUnits(id, few + 1, many)
  expect(await leastOfTries(3, async () => (await leastMs(look)) / before)).toBeLessThan(3)
})

test('what a line names exactly is found among them all, by its name or an alias, whatever signs are in it', async () => {
  const names = [`fen wardens of the ${many}TH lost column`, `50%_\\ of column ${many}`]
  const near = await unitsNear(database.db, names)
  for (const name of names)
    expect(near.get(name)?.[0]).toMatchObject({ name: `Fen Wardens of the ${many}th lost column`, exact: true })
})

test('between the lines of a long list others have their turn', async () => {
  const turns = { others: 0, isOver: false }
  const next = () => {
    turns.others += 1
    if (!turns.isOver) setImmediate(next)
  }
  setImmediate(next)
  expect((await unitsNear(database.db, lines(100))).size).toBe(100)
  turns.isOver = true
  expect(turns.others).toBeGreaterThanOrEqual(4)
})
