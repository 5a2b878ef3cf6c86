import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { createInterface } from 'node:readline'
import { setTimeout as sleep } from 'node:timers/promises'
import { sql } from 'kysely'
import { v7 } from 'uuid'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type OpenDatabase, openDatabase, type Place } from '../../db/connect.ts'
import { buildApp } from '../../server/app.ts'
import { lastFit, refit } from '../../server/features/evidence/queries.ts'
import { temporaryStore } from '../../server/features/printing/pictures/stores.ts'
import { type RunningJobs, startJobs } from '../../server/jobs/index.ts'
import { tidy } from '../../server/jobs/tidy.ts'
import { member, owner } from '../support/app.ts'
import { freshPlace } from '../support/database.ts'
import { keptRows } from '../support/kept.ts'
import { noBundles } from '../support/no-assets.ts'
import { aPrintable, aPrinter, aReport } from '../support/printing.ts'
import { aToldPlate } from '../support/told-plates.ts'
import { until } from '../support/until.ts'

const log = { info: () => {}, error: (what: object, message: string) => console.error(message, what) }
const soon = { log, everyS: 0.5 }

/** A group in which one member has reported eight plates of one file. */
async function someReports({ db }: OpenDatabase) {
  const app = await buildApp({ db, assets: { folder: import.meta.dirname, manifest: noBundles } })
  const ada = await member(await owner(app), 'Ada')
  const { supportSetId } = await aPrintable(ada)
  const { id: printerId } = await aPrinter(ada)
  const report = (snapped: number) =>
    aReport(ada, {
      supportSetId,
      printerId,
      failures: snapped > 0 ? [{ seen: 'supports snapped', copies: snapped }] : [],
    })
  for (const snapped of [2, 0, 1, 0, 0, 3, 0, 1]) await report(snapped)
  /** All of them at one moment. */
  const together = (...failed: number[]) =>
    db.transaction().execute(async (trx) => {
      for (const copies of failed) {
        const failures = copies > 0 ? [{ seen: 'supports snapped' as const, copies }] : []
        await aToldPlate(trx, { memberId: ada.id, printerId, prints: [{ supportSetId, good: 6 - copies, failures }] })
      }
    })
  return { app, ada, report, together }
}

/** Another process on the same database, on Node alone as the service is; says whatever it prints, line by line. */
function elsewhere(place: Place, script: string) {
  const at = (path: string) => JSON.stringify(new URL(`../../${path}`, import.meta.url).href)
  const source = `
    import { openDatabase } from ${at('db/connect.ts')}
    import { FitWork } from ${at('server/features/evidence/fit-work.ts')}
    import { refit } from ${at('server/features/evidence/fitting.ts')}
    const database = await openDatabase(${JSON.stringify(place)})
    const say = (words) => process.stdout.write(words + '\\n')
    ${script.replace('JOBS', at('server/jobs/index.ts'))}`
  const child = spawn(process.execPath, ['--input-type=module', '-e', source], { stdio: ['pipe', 'pipe', 'inherit'] })
  const lines = createInterface(child.stdout)[Symbol.asyncIterator]()
  return {
    gone: once(child, 'exit'),
    kill: (signal: NodeJS.Signals) => child.kill(signal),
    says: async () => (await lines.next()).value as string | undefined,
  }
}

/** Refits, and stays where all its rows are written but do not count yet. */
const stuck = `
  class Stuck extends FitWork {
    async next() {
      const rows = await super.next()
      if (rows) return rows
      say('written')
      return new Promise(() => {})
    }
  }
  setInterval(() => {}, 1000)
  await refit(database.db, { place: () => new Stuck() })`

test('a process that is killed in the middle of a fit leaves the old figures, and no lock', async () => {
  const { place, remove } = await freshPlace()
  const first = await openDatabase(place)
  const { app, report } = await someReports(first)
  await refit(first.db)
  await report(1)
  const before = await keptRows(first.db)
  expect(before.line_draws).toHaveLength(1)
  await app.close()
  await first.close()

  const other = elsewhere(place, stuck)
  expect(await other.says()).toBe('written')
  other.kill('SIGKILL')
  await other.gone

  const second = await openDatabase(place)
  expect(await keptRows(second.db)).toEqual(before)
  expect(await lastFit(second.db)).toMatchObject({ fit: 1, notCounted: 1 })
  const left = second.db.selectFrom('lineDraws').select('fileId').where('fit', '=', 2)
  expect((await left.execute()).length).toBeGreaterThan(0)
  // The server may take a moment to notice that the connection with the lock is gone.
  const jobs = await startJobs({ database: second, ...soon })
  await until(async () => (await lastFit(second.db)).notCounted === 0)
  expect(await left.execute()).toEqual([])
  await jobs.stop()
  await second.close()
  await remove()
})

describe('jobs', () => {
  let place: Place
  let remove: () => Promise<void>
  let database: OpenDatabase
  let group: Awaited<ReturnType<typeof someReports>>
  let jobs: RunningJobs | undefined
  beforeAll(async () => {
    ;({ place, remove } = await freshPlace())
    database = await openDatabase(place)
    group = await someReports(database)
  })
  afterAll(async () => {
    await jobs?.stop()
    await group.app.close()
    await database.close()
    await remove()
  })
  const attempts = async () =>
    (await database.db.selectFrom('scoringFit').select('attempt').executeTakeFirstOrThrow()).attempt

  const settled = async () => {
    await until(async () => (await lastFit(database.db)).newestMarkS === null)
    await until(async () => (await jobStates(database)).every((state) => state === 'completed'))
  }

  test('the first fit is made at the start, pages saying so until then, and nothing more while nothing comes', async () => {
    expect(await lastFit(database.db)).toMatchObject({ fittedAt: null, notCounted: 8 })
    expect((await group.ada.page('/settings')).body).toContain('being worked out for the first time')
    jobs = await startJobs({ database, ...soon })
    await settled()
    expect(await lastFit(database.db)).toMatchObject({ plates: 8, notCounted: 0 })
    expect((await group.ada.page('/settings')).body).not.toContain('being worked out for the first time')
    await sleep(2_500)
    expect(await attempts()).toBe(1)
  })

  test('many plates in a moment make one fit', async () => {
    const before = await attempts()
    await group.together(0, 1, 2, 0)
    await settled()
    expect(await lastFit(database.db)).toMatchObject({ plates: 12 })
    expect(await attempts()).toBe(before + 1)
  })

  test('a report is counted, though a fit was running when it came', async () => {
    await group.report(1)
    await until(async () => (await lastFit(database.db)).notCounted === 0)
    await Promise.all([refit(database.db).catch(() => {}), group.report(2)])
    await settled()
    expect(await lastFit(database.db)).toMatchObject({ plates: 14 })
  })

  test('what was left by a process that is gone is fitted at the next start; a night it was down for is made up for', async () => {
    await jobs?.stop()
    await group.report(1)
    await sleepsFor(database, 26 * 3600)
    const nights = async () => (await jobStates(database, ['every-night'])).length
    const before = await nights()
    jobs = await startJobs({ database, ...soon })
    await settled()
    expect(await lastFit(database.db)).toMatchObject({ plates: 15 })
    await until(async () => (await nights()) === before + 1)
  })

  test('the schedule of an earlier edition goes', async () => {
    const { rows } = await sql<{ name: string }>`select name from pgboss.schedule order by name`.execute(database.db)
    expect(rows.map(({ name }) => name)).toEqual(['every-night'])
    await jobs?.stop()
    await sql`insert into pgboss.queue (name, policy) values ('fit-when-due', 'standard')`
      .execute(database.db)
      .catch(() => {})
    jobs = await startJobs({ database, ...soon })
    const queues = await sql<{ name: string }>`select name from pgboss.queue where name = 'fit-when-due'`.execute(
      database.db,
    )
    expect(queues.rows).toEqual([])
  })

  test('what nobody asks for any more is tidied up, and nothing else', async () => {
    // The night of today would find what is of another year here.
    await jobs?.stop()
    const { db } = database
    const now = new Date('2027-01-01T03:17:00Z')
    const ago = (days: number) => new Date(now.getTime() - days * 86_400_000)
    const { id: memberId } = await db
      .selectFrom('member')
      .select('id')
      .where('role', '=', 'owner')
      .executeTakeFirstOrThrow()
    const post = { memberId, route: 'POST /x', bodyHash: 'x' }
    const invitation = { role: 'member' as const, usesLeft: 1, createdBy: memberId }
    await db.deleteFrom('invitation').execute()
    await db.deleteFrom('attempt').execute()
    await db
      .insertInto('answeredPost')
      .values([
        { ...post, key: 'old', createdAt: ago(7.1) },
        { ...post, key: 'new', createdAt: ago(6.9) },
      ])
      .execute()
    await db
      .insertInto('invitation')
      .values([
        { ...invitation, id: '01900000-0000-7000-8000-000000000001', codeHash: 'old', expiresAt: ago(8) },
        { ...invitation, id: '01900000-0000-7000-8000-000000000002', codeHash: 'new', expiresAt: ago(-1) },
      ])
      .execute()
    await db
      .insertInto('attempt')
      .values([
        { key: 'old', windowStart: ago(2), tries: 3 },
        { key: 'new', windowStart: ago(0.1), tries: 3 },
      ])
      .execute()
    await db
      .insertInto('session')
      .values([
        { idHash: 'old', id: v7(), memberId, expiresAt: new Date(Date.now() - 1000) },
        { idHash: 'new', id: v7(), memberId, expiresAt: new Date(Date.now() + 60_000) },
      ])
      .execute()
    await db
      .insertInto('wayBack')
      .values({ memberId, codeHash: 'old', expiresAt: ago(0.01) })
      .execute()
    await tidy(database, temporaryStore(), now)
    const keys = async (table: 'answeredPost' | 'attempt') =>
      (await db.selectFrom(table).select('key').where('key', 'in', ['old', 'new']).execute()).map(({ key }) => key)
    expect([await keys('answeredPost'), await keys('attempt')]).toEqual([['new'], ['new']])
    const hashes = await db.selectFrom('session').select('idHash').where('idHash', 'in', ['old', 'new']).execute()
    expect(hashes).toEqual([{ idHash: 'new' }])
    expect(await db.selectFrom('invitation').select('codeHash').execute()).toEqual([{ codeHash: 'new' }])
    expect(await db.selectFrom('wayBack').select('memberId').execute()).toEqual([])
    jobs = await startJobs({ database, ...soon })
  })

  test('two processes share the jobs: each is done by one of them', async (context) => {
    if (database.kind === 'embedded') return context.skip('an embedded database is open in one process only')
    const before = await attempts()
    const script = `
      const { startJobs } = await import(JOBS)
      const log = { info: () => say('done'), error: (what) => console.error(what) }
      const jobs = await startJobs({ database, log, everyS: 0.5 })
      process.on('SIGTERM', async () => {
        await jobs.stop()
        await database.close()
        say('bye')
      })
      say('ready')`
    const others = [elsewhere(place, script), elsewhere(place, script)]
    context.onTestFinished(() => {
      for (const other of others) other.kill('SIGKILL')
    })
    expect(await Promise.all(others.map((other) => other.says()))).toEqual(['ready', 'ready'])
    await group.together(0, 1)
    await Promise.all(Array.from({ length: 10 }, () => jobs?.ask('fit')))
    await settled()
    expect(await attempts()).toBe(before + 1)
    for (const other of others) other.kill('SIGTERM')
    const ends = await Promise.all(others.map((other) => other.gone))
    expect(ends.map(([code]) => code)).toEqual([0, 0])
  })

  test('a fit that is broken off by the end of its process is handed back, and done by another', async (context) => {
    if (database.kind === 'embedded')
      return context.skip('the embedded database has one connection: nothing can hold the fit up')
    await jobs?.stop()
    const ending = await startJobs({ database, ...soon })
    const holding = await openDatabase(place)
    const before = await keptRows(database.db)
    // Somebody holds the row that a fit takes its number from, so it has to wait before it begins.
    await holding.db.transaction().execute(async (trx) => {
      await trx.selectFrom('scoringFit').select('attempt').forUpdate().execute()
      for (const snapped of [0, 1]) await group.report(snapped)
      await until(async () => (await jobStates(database)).includes('active'))
      setTimeout(() => void ending.stop(), 0)
      await sleep(300)
    })
    await ending.stop()
    expect(await keptRows(database.db)).toEqual(before)
    expect((await lastFit(database.db)).notCounted).toBe(2)
    jobs = await startJobs({ database, ...soon })
    await sql`update pgboss.job set start_after = now() where state = 'retry'`.execute(database.db)
    await settled()
    await holding.close()
  })
})

/** As if the service, which has been here for long, had been down for so many seconds. */
async function sleepsFor({ db }: OpenDatabase, seconds: number): Promise<void> {
  await sql`update pgboss.version set cron_on = now() - make_interval(secs => ${seconds})`.execute(db)
  await sql`update pgboss.schedule set created_on = now() - interval '30 days'`.execute(db)
}

/** States of our own jobs, those of pg-boss left out. */
async function jobStates({ db }: OpenDatabase, names = ['fit', 'every-night']): Promise<string[]> {
  const { rows } = await sql<{ state: string }>`
    select state::text from pgboss.job where name in (${sql.join(names)})`.execute(db)
  return rows.map(({ state }) => state)
}
