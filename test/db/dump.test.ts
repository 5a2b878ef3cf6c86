import { execFile } from 'node:child_process'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { afterAll, expect, test } from 'vitest'
import { openDatabase } from '../../db/connect.ts'
import { freshDatabase } from '../support/database.ts'
import { findBinaries, once } from '../support/postgres.ts'

const database = await freshDatabase()
const { db, kind, place } = database
afterAll(() => database.close())
const binaries = await findBinaries()
/** pg_dump refuses a server newer than itself, so this is for the throw-away server, which has its own at hand. */
const isOwnServer = kind === 'postgresql' && place.url?.includes('?host=')

/**
 * pg_restore works with an empty search path, so a function that is used by an index or a generated column and that
 * names another one without its schema makes every dump worthless, and nobody notices before the day it is needed.
 */
test.runIf(isOwnServer)('what pg_dump writes can be put back', async () => {
  const unit = { id: '01900000-0000-7000-8000-000000000001', name: 'Ørrin Wardens', aliases: ['Éclaireurs'] }
  const member = { id: '01900000-0000-7000-8000-000000000002', name: 'Ada', email: 'ada@example.org' }
  await db
    .insertInto('member')
    .values({ ...member, role: 'owner', passwordHash: 'none' })
    .execute()
  await db
    .insertInto('unit')
    .values({ ...unit, scaleMm: 28, createdBy: member.id })
    .execute()

  const restored = new URL(place.url ?? '')
  restored.pathname += '_restored'
  await once(place.url ?? '', `create database ${restored.pathname.slice(1)}`)
  const pipe = `"${join(binaries ?? '', 'pg_dump')}" -Fc "$0" | "${join(binaries ?? '', 'pg_restore')}" --exit-on-error -d "$1"`
  await promisify(execFile)('bash', ['-o', 'pipefail', '-c', pipe, place.url ?? '', restored.href])

  const copy = await openDatabase({ url: restored.href })
  const units = await copy.db.selectFrom('unit').select(['id', 'name', 'aliases']).execute()
  await copy.close()
  expect(units).toEqual([unit])
})
