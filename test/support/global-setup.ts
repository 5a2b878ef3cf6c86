import { mkdtemp, readdir, rm, statfs } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { TestProject } from 'vitest/node'
import { openDatabase, type Place } from '../../db/connect.ts'
import { migrate } from '../../db/migrate.ts'
import type { Template } from './database.ts'
import { findBinaries, once, startContainer, startLocal, type TestServer } from './postgres.ts'

/**
 * Finds the database that the run works on, and makes a template with all migrations, from which each test file gets
 * a copy (database.ts). `TEST_DATABASE_URL` names a server; or else `TEST_DATABASE` is one of
 * - `postgresql`: a throw-away server from PostgreSQL's programs on this machine, or it is an error;
 * - `container`: a container;
 * - `embedded`: PGlite, whatever else there is;
 * - not set: the first if there is one, else the last.
 */
export default async function setUp(project: TestProject): Promise<() => Promise<void>> {
  const run = globalThis.understudyTestRun ?? { started: start(), projects: 0 }
  globalThis.understudyTestRun = run
  run.projects++
  const { template, tearDown } = await run.started
  project.provide('template', template)
  return async () => {
    if (--run.projects === 0) await tearDown()
  }
}

declare global {
  /** The projects of a run load this file each for themselves, and still share one database. */
  var understudyTestRun: { started: ReturnType<typeof start>; projects: number } | undefined
}

async function start(): Promise<{ template: Template; tearDown: () => Promise<void> }> {
  const roomy = await roomyFolder()
  await clearLeftOver(roomy)
  const folder = await mkdtemp(join(roomy, `${folderName}${process.pid}-`))
  const undo = [() => rm(folder, { recursive: true, force: true })]
  const tearDown = async () => {
    for (const step of undo.reverse()) await step()
  }
  try {
    const server = await findServer(folder)
    if (server) undo.push(server.stop)
    console.log(`Database of this run: ${server?.name ?? 'embedded (PGlite)'}`)
    return { template: server ? await makeTemplate(server, undo) : await makeFolderTemplate(folder), tearDown }
  } catch (error) {
    await tearDown()
    throw error
  }
}

const folderName = 'understudy-test-'

/** A run that was killed could not remove its folder, which may be in memory. Those of runs that still go on stay. */
async function clearLeftOver(where: string): Promise<void> {
  for (const name of await readdir(where)) {
    const [, pid] = new RegExp(`^${folderName}(\\d+)-`).exec(name) ?? []
    if (pid && isGone(Number(pid))) await rm(join(where, name), { recursive: true, force: true })
  }
}

function isGone(pid: number): boolean {
  try {
    process.kill(pid, 0)
    return false
  } catch (error) {
    // Anything else, such as EPERM, is said of a process that is there.
    return (error as NodeJS.ErrnoException).code === 'ESRCH'
  }
}

/** Copies of databases are made and thrown away by the hundred: in memory where there is plenty of it, else on the disk. */
async function roomyFolder(): Promise<string> {
  const inMemory = '/dev/shm'
  const space = await statfs(inMemory).catch(() => undefined)
  return space && space.bavail * space.bsize > 2 ** 31 ? inMemory : tmpdir()
}

async function findServer(folder: string): Promise<TestServer | undefined> {
  const { TEST_DATABASE_URL: url, TEST_DATABASE: wish } = process.env
  if (wish === 'embedded') return undefined
  if (url) return { name: 'PostgreSQL at TEST_DATABASE_URL', url, stop: async () => {} }
  if (wish === 'container') return startContainer()
  if (wish && wish !== 'postgresql') throw new Error(`TEST_DATABASE=${wish} is not known`)
  const binaries = await findBinaries()
  if (binaries) return startLocal(binaries, folder)
  if (wish) throw new Error('TEST_DATABASE=postgresql, but there is no initdb on this machine')
  return undefined
}

async function makeTemplate(server: TestServer, undo: (() => Promise<void>)[]): Promise<Template> {
  const name = `understudy_test_${process.pid}_${Date.now().toString(36)}`
  await once(server.url, `create database ${name}`)
  undo.push(() => dropAll(server, name))
  const url = new URL(server.url)
  url.pathname = `/${name}`
  await migrateAt({ url: url.href })
  return { kind: 'postgresql', server: server.url, name }
}

async function makeFolderTemplate(folder: string): Promise<Template> {
  const dataDir = join(folder, 'template')
  await migrateAt({ dataDir })
  return { kind: 'embedded', folder, dataDir }
}

async function migrateAt(place: Place): Promise<void> {
  const database = await openDatabase(place)
  try {
    await migrate(database.db)
  } finally {
    await database.close()
  }
}

/** What a crashed test file has left behind goes too: all names begin with the template's. */
async function dropAll(server: TestServer, name: string): Promise<void> {
  const found = await once(
    server.url,
    `select coalesce(array_agg(datname::text), '{}') as names from pg_database where starts_with(datname, '${name}')`,
  )
  for (const left of found.names as string[]) await once(server.url, `drop database if exists ${left} with (force)`)
}
