import { loadavg } from 'node:os'
import { sql } from 'kysely'
import type { Db } from '../../db/connect.ts'
import { buildApp } from '../../server/app.ts'
import { refit } from '../../server/features/evidence/queries.ts'
import { Random } from '../../server/scoring/random.ts'
import { buildProgram, startService } from '../hostile/service.ts'
import { owner, type Person } from '../support/app.ts'
import { noBundles } from '../support/no-assets.ts'
import { fill, type Group, groupOf, idOf, onServer } from './group.ts'
import { type Load, load, startBare, type Target } from './load.ts'
import { type Line, met, quantileOf } from './measure.ts'

/*
 * How many reports a second the service takes, each answered with its verdict, beside a bare Fastify handler that inserts
 * the same rows in one transaction and answers with an id: both programs of their own over one PostgreSQL that does not
 * wait for the disk, asked over HTTP by turns, on one connection and on twenty. So many plates are stored and counted.
 * `npm run bench -- report [plates stored] [seconds a turn]`
 */

/** Of the bare handler's throughput. */
const leastShare = 0.5
const connections = [1, 20]
/** Each side's, one after the other, so that whatever else the machine does meets both. */
const turns = 3

/** @returns whether the service keeps to its share */
export async function benchReport([stored = '10000', seconds = '2']: string[]): Promise<boolean> {
  const program = await buildProgram()
  const goals: boolean[] = []
  try {
    await onServer(async (db, url) => {
      const group = groupOf(Number(stored))
      const person = await prepare(db, group)
      const many = String(1e9)
      const settings = { LOG_LEVEL: 'error', WRITES_PER_MINUTE: many, WRITES_PER_DAY: many }
      const service = await startService(program, { url }, settings)
      const bare = await startBare(url)
      const served: Target = { address: service.address, pid: service.process.pid ?? 0 }
      console.log(`${group.plates} plates of ${group.files} files on ${group.printers} printers`)
      try {
        const sides = { served, bare, person, group, seconds: Number(seconds) }
        for (const atOnce of connections) goals.push(await compare(sides, atOnce))
        console.log(`load of the machine ${loadavg()[0]?.toFixed(1)}`)
      } finally {
        bare.end()
        await service.end('SIGTERM')
      }
    })
  } finally {
    program.remove()
  }
  return goals.every(Boolean)
}

/** A group of that size, counted. @returns its owner */
async function prepare(db: Db, group: Group): Promise<Person> {
  const app = await buildApp({ db, assets: { folder: import.meta.dirname, manifest: noBundles } })
  const person = await owner(app)
  await app.close()
  await fill(db, group, person.id)
  await refit(db)
  await sql`vacuum analyze`.execute(db)
  return person
}

interface Sides {
  served: Target
  bare: Target
  person: Person
  group: Group
  seconds: number
}

async function compare({ served, bare, person, group, seconds }: Sides, many: number): Promise<boolean> {
  const cookie = person.cookie ?? ''
  const random = new Random(7)
  const posted = () => ({ path: '/api/v1/reports', body: JSON.stringify(reportOf(group, random)) })
  const inserted = () => {
    const report = reportOf(group, random)
    const period = idOf('period', 2 * Number.parseInt(report.printerId.slice(-12), 16) + 1)
    return { path: `/reports/${person.id}/${period}`, body: JSON.stringify(report) }
  }
  const own: Load[] = []
  const other: Load[] = []
  for (let turn = 0; turn <= turns; turn++) {
    other.push(await load(bare, inserted, '', many, seconds))
    own.push(await load(served, posted, cookie, many, seconds))
  }
  // The first turn warms both up.
  const [service, handler] = [totalOf(own.slice(1)), totalOf(other.slice(1))]
  const lines: Line[] = [
    { what: `bare inserts a second, ${many} at once`, value: handler.perSecond, unit: '' },
    { what: 'reports a second', value: service.perSecond, unit: '' },
    { what: 'processor time of the bare handler, an insert', value: handler.cpuMs, unit: 'ms' },
    { what: 'of the service, a report', value: service.cpuMs, unit: 'ms' },
    { what: 'a report, half of them within', value: quantileOf(service.took, 0.5), unit: 'ms' },
    { what: 'a report, 99 of 100 within', value: quantileOf(service.took, 0.99), unit: 'ms' },
    {
      what: 'bare inserts a report',
      value: handler.perSecond / service.perSecond,
      unit: 'times',
      goal: 1 / leastShare,
    },
  ]
  return lines.map(met).every(Boolean)
}

function totalOf(loads: readonly Load[]) {
  const mean = (of: (one: Load) => number) => loads.reduce((sum, one) => sum + of(one), 0) / loads.length
  return {
    perSecond: mean((one) => one.perSecond),
    cpuMs: mean((one) => one.cpuMs),
    took: loads.flatMap(({ took }) => took),
  }
}

/** A report of one to eight copies, half of them with failures, on a file and printer as often as those stored. */
function reportOf({ files, printers }: Group, random: Random) {
  const often = (count: number) => Math.floor(count * random.uniform() ** 2)
  const tried = 1 + Math.floor(8 * random.uniform() ** 2)
  const failed = random.uniform() < 0.5 ? 1 + Math.floor(tried * random.uniform() ** 2) : 0
  return {
    supportSetId: idOf('set', often(files)),
    printerId: idOf('printer', often(printers)),
    printedOn: '2025-12-01',
    crowding: 'about full',
    tried,
    good: tried - failed,
    failures: failed > 0 ? [{ seen: 'nothing stuck to the plate', copies: failed }] : [],
  }
}
