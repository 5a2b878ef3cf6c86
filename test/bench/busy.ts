import { mkdtemp, rm } from 'node:fs/promises'
import { loadavg, tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { openDatabase, type Place } from '../../db/connect.ts'
import { makeDemo } from '../../db/demo/index.ts'
import { migrate } from '../../db/migrate.ts'
import { hashPassword } from '../../server/features/people/members/passwords.ts'
import { buildProgram, type Running, startService } from '../hostile/service.ts'
import { aHeavyRoster, heavyBudget } from '../support/heavy-roster.ts'
import { findBinaries, startLocal } from '../support/postgres.ts'
import { allocation, memoryOf } from './load.ts'
import { type Line, met, quantileOf } from './measure.ts'

/*
 * How long the pages take while a plan is being solved, against the same pages while none is, by turns in one run: the
 * service as a program of its own with the demo group, one reader who goes from page to page, and a roster of 150
 * entries that is planned again as soon as its plan is there. Once over the embedded database, once over a PostgreSQL.
 * With `fit` the same while everything is worked out anew, over and over.
 * `npm run bench -- busy [pages a turn] [plan | fit]`
 */

const turns = 4
/** Between two pages of a reader. */
const pauseMs = 10
/** At 99 of 100 pages, so many times as long as without. */
const goals = { plan: 2, fit: 1.5 }
type Work = keyof typeof goals
/** Threads that nobody needs have ended by then. */
const idleS = 65
const password = 'print it again'

/**
 * @param args how many pages are read in each turn, and what the service does besides
 * @returns whether 99 of 100 pages keep to the goal meanwhile
 */
export async function benchBusy([count = '250', work = 'plan']: string[]): Promise<boolean> {
  if (!Object.hasOwn(goals, work)) throw new RangeError('the service plans or fits')
  const program = await buildProgram()
  const folder = await mkdtemp(join(tmpdir(), 'understudy-busy-'))
  const binaries = await findBinaries()
  const server = binaries ? await startLocal(binaries, folder) : undefined
  const places: [string, Place][] = [['embedded', { dataDir: join(folder, 'data') }]]
  if (server) places.push(['PostgreSQL', { url: server.url }])
  else console.log('no PostgreSQL on this machine: measured over the embedded database alone')
  try {
    const met: boolean[] = []
    for (const [name, place] of places) {
      const rosterPath = await furnish(place)
      const service = await startService(program, place, allocation)
      met.push(
        await measure(name, service, rosterPath, Number(count), work as Work).finally(() => service.end('SIGTERM')),
      )
    }
    return met.every(Boolean)
  } finally {
    await server?.stop()
    program.remove()
    await rm(folder, { recursive: true, force: true })
  }
}

/** The demo group, whose asker has a large roster besides. @returns its path */
async function furnish(place: Place): Promise<string> {
  const { db, close } = await openDatabase(place)
  await migrate(db)
  await makeDemo(db, { today: '2026-10-01', passwordHash: await hashPassword(password) })
  const { id } = await db.selectFrom('member').select('id').where('email', 'like', 'asker@%').executeTakeFirstOrThrow()
  const path = `/rosters/${await aHeavyRoster(db, id)}`
  await close()
  return path
}

async function measure(
  name: string,
  service: Running,
  rosterPath: string,
  count: number,
  work: Work,
): Promise<boolean> {
  const [reader, worker] = [
    await signIn(service, 'asker'),
    await signIn(service, work === 'plan' ? 'asker' : 'steward'),
  ]
  const pages = await pagesOf(reader)
  // The service reads pages for a while before its memory stays about the same.
  await read(reader, pages, turns * count)
  const before = await memoryOf(service.process.pid)
  const [idle, busy]: [number[], number[]] = [[], []]
  let done = 0
  let most = before
  for (let turn = 0; turn < turns; turn++) {
    idle.push(...(await read(reader, pages, count)))
    const working = work === 'plan' ? planUntilStopped(worker, rosterPath) : fitUntilStopped(worker)
    // The first answer, which loads and draws the roster up, is part of what is measured.
    busy.push(...(await read(reader, pages, count)))
    most = Math.max(most, await memoryOf(service.process.pid))
    done += await working.stop()
  }
  await sleep(idleS * 1000)
  await read(reader, pages, count)
  const at = (share: number) => [quantileOf(idle, share), quantileOf(busy, share)] as const
  const [idle99 = 0, busy99 = 0] = at(0.99)
  console.log(`${name}: ${turns} turns of ${count} pages each, ${done} times ${work}; load ${loadavg()[0]?.toFixed(1)}`)
  const lines: Line[] = [0.5, 0.9, 0.99].flatMap((share) => {
    const [without, along] = at(share)
    return [
      { what: `  ${100 * share} % of the pages, nothing else running`, value: without, unit: 'ms' },
      { what: `  ${100 * share} % of the pages, while it runs`, value: along, unit: 'ms' },
    ]
  })
  return [
    ...lines,
    { what: '  ratio of the two at 99 %', value: busy99 / idle99, unit: '', goal: goals[work] },
    { what: '  memory of the service before', value: before, unit: 'MB' },
    { what: '  at most, while it runs', value: most, unit: 'MB' },
    { what: `  ${idleS} s after the last`, value: await memoryOf(service.process.pid), unit: 'MB' },
  ]
    .map(met)
    .every(Boolean)
}

/** A call of the service by somebody who is signed in. */
type Caller = (method: 'GET' | 'POST', path: string, body?: unknown) => Promise<{ text: string }>

async function signIn({ address }: Running, who: 'asker' | 'steward'): Promise<Caller> {
  let cookie = ''
  const call: Caller = async (method, path, body) => {
    const headers = { origin: address, cookie, ...(body !== undefined && { 'content-type': 'application/json' }) }
    const init = { method, headers, ...(body !== undefined && { body: JSON.stringify(body) }) }
    const answer = await fetch(`${address}${path}`, init)
    cookie ||= answer.headers.getSetCookie()[0]?.split(';')[0] ?? ''
    const text = await answer.text()
    if (!answer.ok) throw new Error(`${path} answered ${answer.status}: ${text.slice(0, 300)}`)
    return { text }
  }
  await call('POST', '/api/v1/sessions', { email: `${who}@demo.example`, password })
  return call
}

/** One of each kind that members look at most. */
async function pagesOf(reader: Caller): Promise<string[]> {
  const first = async (list: string) => {
    const { text } = await reader('GET', `/api/v1${list}?limit=1`)
    return `${list}/${(JSON.parse(text) as { items: { id: string }[] }).items[0]?.id}`
  }
  return ['/', '/units', '/rosters', ...(await Promise.all(['/requests', '/units', '/files', '/printers'].map(first)))]
}

async function read(reader: Caller, pages: string[], count: number): Promise<number[]> {
  const took: number[] = []
  for (let place = 0; place < count; place++) {
    const began = performance.now()
    await reader('GET', pages[place % pages.length] ?? '/')
    took.push(performance.now() - began)
    await sleep(pauseMs)
  }
  return took
}

/** Has a roster planned over and over, each time for some seconds. @returns how to end that, with the number of plans */
function planUntilStopped(planner: Caller, rosterPath: string) {
  const path = `/api/v1${rosterPath}/plan`
  let isStopped = false
  const run = async () => {
    let plans = 0
    while (!isStopped) {
      await planner('POST', path, { ...heavyBudget, timeLimitS: 5 })
      plans++
      while (!isStopped && (await isRunning())) await sleep(500)
    }
    await planner('POST', `${path}/stop`)
    while (await isRunning()) await sleep(200)
    return plans
  }
  const isRunning = async () => (await planner('GET', path)).text.startsWith('{"state":"running"')
  const plans = run()
  return {
    stop() {
      isStopped = true
      return plans
    },
  }
}

/** Has everything worked out anew over and over. @returns how to end that, with the number of times */
function fitUntilStopped(steward: Caller) {
  let isStopped = false
  const run = async () => {
    let fits = 0
    while (!isStopped) {
      await steward('POST', '/api/v1/scoring/fit')
      fits++
    }
    return fits
  }
  const fits = run()
  return {
    stop() {
      isStopped = true
      return fits
    },
  }
}
