import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { createInterface } from 'node:readline'
import { sql } from 'kysely'
import { afterAll, expect, test } from 'vitest'
import { openDatabase } from '../../db/connect.ts'
import { freshPlace } from '../support/database.ts'

const { place, remove } = await freshPlace()
afterAll(remove)

const connect = new URL('../../db/connect.ts', import.meta.url).href
/** Writes one row after another, and says each number once it is committed. */
const writer = `
  import { openDatabase } from ${JSON.stringify(connect)}
  import { sql } from 'kysely'
  const { db } = await openDatabase(${JSON.stringify(place)})
  await sql\`create table if not exists written (n bigserial, filler text)\`.execute(db)
  for (;;) {
    const { rows } = await sql\`insert into written (filler) values (repeat('x', 2000)) returning n\`.execute(db)
    process.stdout.write(rows[0].n + '\\n')
  }`

/** @returns the numbers that were acknowledged before the process was killed */
async function writeUntilKilled(rows: number): Promise<number[]> {
  const child = spawn(process.execPath, ['--input-type=module', '-e', writer], { stdio: ['ignore', 'pipe', 'inherit'] })
  const gone = once(child, 'exit')
  const acknowledged: number[] = []
  for await (const line of createInterface(child.stdout)) {
    acknowledged.push(Number(line))
    if (acknowledged.length === rows) child.kill('SIGKILL')
  }
  await gone
  return acknowledged
}

test('what was acknowledged is still there when the process was killed while writing', async () => {
  for (const rows of [1, 20, 150, 400]) {
    const acknowledged = await writeUntilKilled(rows)
    expect(acknowledged.length).toBeGreaterThanOrEqual(rows)
    const { db, close } = await openDatabase(place)
    const kept = await sql<{ n: number }>`select n from written`.execute(db)
    await close()
    expect(kept.rows.map((row) => row.n)).toEqual(expect.arrayContaining(acknowledged))
  }
})
