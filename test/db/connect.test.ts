import { sql } from 'kysely'
import { afterAll, expect, test } from 'vitest'
import { freshDatabase } from '../support/database.ts'

const t = performance.now()
const database = await freshDatabase()
console.log('fresh', performance.now() - t)
afterAll(async () => {
  const t = performance.now()
  await database.close()
  console.log('close', performance.now() - t)
})

test('values come out alike on both databases', async () => {
  const { rows } = await sql`select 5::int8 a`.execute(database.db)
  expect(rows[0]).toEqual({ a: 5 })
})
