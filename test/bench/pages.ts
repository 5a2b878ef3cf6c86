import { loadavg } from 'node:os'
import { sql } from 'kysely'
import type { Db } from '../../db/connect.ts'
import { buildApp } from '../../server/app.ts'
import { FitWork } from '../../server/features/evidence/fit-work.ts'
import { refit } from '../../server/features/evidence/queries.ts'
import { buildProgram, type Program, startService } from '../hostile/service.ts'
import { owner, password } from '../support/app.ts'
import { noBundles } from '../support/no-assets.ts'
import { idOf, onServer } from './group.ts'
import { allocation, type Load, load, memoryOf, type Question, startBare, type Target } from './load.ts'
import { met, quantileOf } from './measure.ts'
import { emailOfMember, furnish, pathsOf, type Shelf, shelves } from './shelf.ts'

/*
 * How fast pages are answered, beside a bare Fastify handler that asks one indexed query and sends as many bytes: both
 * programs of their own over one PostgreSQL, page by page one after the other, at one connection and at twenty. Each page is
 * asked for again while nothing is written ("kept"), and, under an address that nobody has asked for, as it is worked out
 * anew after a write ("anew").
 * `npm run bench -- pages [small | large | both] [seconds a measurement] [only pages whose name holds this]`
 */

const connections = [1, 20]
/** Of the bare handler's throughput, at twenty connections, while nothing is written. */
const goals: Record<string, number> = { home: 0.15, 'request, 4 answers': 0.15 }
const mostMb = 250
/** Time a page that is worked out anew takes at the large size, in those of the small one. */
const mostGrowth = 1.3

/** @returns whether the goals are met */
export async function benchPages([size = 'both', seconds = '2', only = '']: string[]): Promise<boolean> {
  const sizes = Object.entries(shelves).filter(([name]) => size === 'both' || size === name)
  if (sizes.length === 0) throw new RangeError('small, large or both')
  const program = await buildProgram()
  const met: boolean[] = []
  const took: Map<string, number>[] = []
  try {
    for (const [name, shelf] of sizes) {
      const one = await onServer((db, url) =>
        benchOne(program, db, { name, shelf, url, seconds: Number(seconds), only }),
      )
      met.push(one.isMet)
      took.push(one.took)
    }
  } finally {
    program.remove()
  }
  const [small, large] = took
  return [...met, ...(small && large ? [grows(small, large)] : [])].every(Boolean)
}

interface Task {
  name: string
  shelf: Shelf
  url: string
  seconds: number
  only: string
}

async function benchOne(program: Program, db: Db, { name, shelf, url, seconds, only }: Task) {
  await prepare(db, shelf)
  const service = await startService(program, { url }, { LOG_LEVEL: 'error', ...allocation })
  const bare = await startBare(url)
  console.log(`\n${name}: ${JSON.stringify(shelf)}; load of the machine ${loadavg()[0]?.toFixed(1)}`)
  console.log(columns)
  const served: Target = { address: service.address, pid: service.process.pid ?? 0 }
  const took = new Map<string, number>()
  let isMet = true
  try {
    const cookie = await signIn(service.address, shelf)
    for (const [page, path] of pagesOf(shelf).filter(([page]) => page.includes(only))) {
      let views = 0
      const asked: [way: string, question: Question][] = [
        ['anew', () => ({ path: `${path}${path.includes('?') ? '&' : '?'}view=${views++}` })],
        ['kept', () => ({ path })],
      ]
      for (const [way, question] of asked) {
        await load(served, question, cookie, 4, seconds / 2)
        for (const many of connections) {
          const own = await load(served, question, cookie, many, seconds)
          const plain = `/${idOf('file', 0)}/${own.bytes}`
          const other = await load(bare, () => ({ path: plain }), '', many, seconds)
          console.log(lineOf(page, way, many, own, other))
          if (many === 1 && way === 'anew') took.set(page, quantileOf(own.took, 0.5) / quantileOf(other.took, 0.5))
          if (many > 1 && way === 'kept') isMet = own.perSecond / other.perSecond >= (goals[page] ?? 0) && isMet
        }
      }
    }
    const memory = { what: 'memory of the service after all that', value: await memoryOf(served.pid), unit: 'MB' }
    isMet = met({ ...memory, goal: mostMb }) && isMet
  } finally {
    bare.end()
    await service.end('SIGTERM')
  }
  return { isMet, took }
}

/** A group of that size, counted. */
async function prepare(db: Db, shelf: Shelf): Promise<void> {
  const assets = { folder: import.meta.dirname, manifest: noBundles }
  const app = await buildApp({ db, assets })
  await furnish(db, shelf, (await owner(app)).id)
  await app.close()
  // On a thread of its own it gives way to whatever else the machine does.
  await refit(db, { place: () => new FitWork() })
  await sql`vacuum analyze`.execute(db)
}

/** @returns the cookie of a member like any other */
async function signIn(address: string, shelf: Shelf): Promise<string> {
  const body = JSON.stringify({ email: emailOfMember(shelf), password })
  const headers = { origin: address, 'content-type': 'application/json' }
  const answer = await fetch(`${address}/api/v1/sessions`, { method: 'POST', headers, body })
  if (!answer.ok) throw new Error(`signing in answered ${answer.status}: ${await answer.text()}`)
  return answer.headers.getSetCookie()[0]?.split(';')[0] ?? ''
}

function pagesOf(shelf: Shelf): [name: string, path: string][] {
  const { request, unit, file } = pathsOf(shelf)
  return [
    ['home', '/'],
    ['request, 4 answers', request.few],
    ['request, 40 answers', request.many],
    ['the same by REST', `/api/v1${request.few}/answers`],
    ['unit, 200 stand-ins', unit],
    ['file, 10 reports', file.few],
    ['file, 500 reports', file.many],
    ['search, mistyped', '/search?q=drowned+sentnel'],
  ]
}

const columns = `${'page'.padEnd(20)} way   at once      kB    a second      bare   share  half within     99 %   processor, ms  bare`

function lineOf(page: string, way: string, many: number, own: Load, other: Load): string {
  const share = own.perSecond / other.perSecond
  return [
    page.padEnd(20),
    way,
    String(many).padStart(7),
    (own.bytes / 1000).toFixed(0).padStart(7),
    own.perSecond.toFixed(1).padStart(11),
    other.perSecond.toFixed(0).padStart(9),
    share.toFixed(3).padStart(7),
    `${quantileOf(own.took, 0.5).toFixed(1)} ms`.padStart(12),
    `${quantileOf(own.took, 0.99).toFixed(1)}`.padStart(8),
    own.cpuMs.toFixed(2).padStart(15),
    other.cpuMs.toFixed(2).padStart(5),
  ].join(' ')
}

/** Whether every page takes about as long in a large group as in a small one, counted in answers of the bare handler. */
function grows(small: ReadonlyMap<string, number>, large: ReadonlyMap<string, number>): boolean {
  console.log('\ntime of a page in the large group, in those of the small one:')
  return [...large]
    .map(([page, took]) => met({ what: `  ${page}`, value: took / (small.get(page) ?? 0), unit: '', goal: mostGrowth }))
    .every(Boolean)
}
