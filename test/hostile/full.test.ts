import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { sql } from 'kysely'
import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest'
import type { Db } from '../../db/connect.ts'
import { cannotBeSaved } from '../../db/failures.ts'
import { expectRoom } from '../../db/ready.ts'
import type { PictureStore } from '../../server/features/printing/pictures/store.ts'
import { folderStore, temporaryStore } from '../../server/features/printing/pictures/stores.ts'
import { noRoom } from '../../server/http/problem.ts'
import type { App } from '../../server/http/route.ts'
import { outsider, owner, type Person, startApp } from '../support/app.ts'
import { freshDatabase } from '../support/database.ts'
import { aJpeg, asFile, sendPictures } from '../support/pictures.ts'
import { aReport } from '../support/printing.ts'
import { leak } from './calls.ts'

describe('a full disk', () => {
  let app: App
  let db: Db
  let close: () => Promise<void>
  let odile: Person
  beforeAll(async () => {
    ;({ app, db, close } = await startApp())
    odile = await owner(app)
    // SQLSTATE 53100, disk_full: what the database says of a row that finds no room.
    await sql`create function no_room() returns trigger language plpgsql as
      $$ begin raise exception 'could not extend file "base/5/1": No space left on device' using errcode = '53100'; end $$`.execute(
      db,
    )
    await sql`create trigger full_disk before insert on unit for each row execute function no_room()`.execute(db)
  })
  afterAll(() => close())

  const unit = { name: 'Reed Otters', scaleMm: 28 }

  test.each([
    ['by itself', {}],
    ['with a key', { headers: { 'idempotency-key': 'once' } }],
  ])('is told of a write %s, as a problem', async (_, options) => {
    const answer = await odile.post('/units', unit, options)
    expect([answer.statusCode, answer.headers['content-type']]).toEqual([507, 'application/problem+json'])
    expect(answer.json()).toMatchObject({ title: 'Nothing can be saved just now', status: 507 })
    expect(leak(answer)).toBeUndefined()
  })

  test('is told of a form, as a page', async () => {
    const answer = await odile.submit('/units/new', {
      name: 'Reed Otters',
      scaleMm: '28',
      modelsPerUnit: '1',
      once: 'a',
    })
    expect([answer.statusCode, answer.headers['content-type']]).toEqual([507, 'text/html; charset=utf-8'])
    expect(answer.body).toContain('The service’s disk is full, or closed to the service. Nothing')
    expect(leak(answer)).toBeUndefined()
  })

  test('keeps nobody from reading, keeps nothing by halves, and is over once there is room', async () => {
    expect((await odile.get('/units')).json().items).toEqual([])
    expect((await odile.page('/units')).statusCode).toBe(200)
    await sql`drop trigger full_disk on unit`.execute(db)
    expect((await odile.post('/units', unit, { headers: { 'idempotency-key': 'once' } })).statusCode).toBe(201)
  })
})

test.each([
  ['ENOSPC', 'The service’s disk is full, or closed to the service.'],
  ['53100', 'The service’s disk is full, or closed to the service.'],
  ['57P01', 'The database cannot be reached.'],
])('with %s it is up, but not ready', async (code, detail) => {
  const ready = () => Promise.reject(Object.assign(new Error(code), { code }))
  const { app, close } = await startApp({ ready })
  const answer = await outsider(app).page('/health/ready')
  expect([answer.statusCode, answer.headers['retry-after'] !== undefined]).toEqual([503, true])
  expect(answer.body).toContain(detail)
  expect((await outsider(app).page('/health/live')).statusCode).toBe(200)
  await close()
})

test.each(['ENOSPC', 'EDQUOT', 'EROFS', 'EACCES'])(
  'where no picture can be kept (%s) it is not ready either, and an upload says so in the same words',
  async (code) => {
    const refuse = () => Promise.reject(Object.assign(new Error(code), { code }))
    const pictures: PictureStore = { ...temporaryStore(), ready: refuse, put: refuse }
    const { app, close } = await startApp({ pictures })
    const answer = await outsider(app).page('/health/ready')
    expect([answer.statusCode, answer.body.includes(noRoom)]).toEqual([503, true])
    const odile = await owner(app)
    const upload = await sendPictures(odile, `/api/v1/reports/${(await aReport(odile)).id}/photos`, [
      asFile(await aJpeg()),
    ])
    expect([upload.statusCode, upload.json().detail]).toEqual([507, expect.stringContaining(noRoom)])
    await close()
  },
)

test('a folder of pictures is ready before it is there, and not where it can’t be', async () => {
  const within = await mkdtemp(join(tmpdir(), 'understudy-'))
  const ready = (folder: string) => folderStore(folder).ready?.()
  await ready(join(within, 'data', 'pictures'))
  await writeFile(join(within, 'taken'), '')
  await expect(ready(join(within, 'taken'))).rejects.toThrow('EEXIST')
  await rm(within, { recursive: true })
})

test('room is what the file system says of it', async () => {
  await expectRoom(tmpdir(), 1)
  const full = await expectRoom(tmpdir(), Number.MAX_SAFE_INTEGER).catch((error: unknown) => error)
  expect(cannotBeSaved(full)).toBe(true)
})

const { kind } = inject('template')

test.runIf(kind === 'postgresql')(
  'a server is asked by writing: nothing else tells that its disk is full',
  async () => {
    const { db, ready, close } = await freshDatabase()
    const written = async () => {
      const { rows } = await sql<{ files: number }>`select temp_files as files from pg_stat_database
      where datname = current_database()`.execute(db)
      return Number(rows[0]?.files)
    }
    expect(await written()).toBe(0)
    await ready()
    // The server tells after a while.
    while ((await written()) === 0) await sleep(20)
    await close()
  },
)

test('being ready does not wait until somebody has written', async () => {
  const { app, db, close } = await startApp()
  await db.transaction().execute(async (trx) => {
    await sql`create table written (n int)`.execute(trx)
    for (let turn = 0; turn < 3; turn++) expect((await outsider(app).page('/health/ready')).statusCode).toBe(200)
  })
  expect((await outsider(app).page('/health/ready')).statusCode).toBe(200)
  await close()
})
