import { loadavg } from 'node:os'
import { sql } from 'kysely'
import { v7 } from 'uuid'
import type { Db } from '../../db/connect.ts'
import { buildApp } from '../../server/app.ts'
import { refit } from '../../server/features/evidence/queries.ts'
import { Random } from '../../server/scoring/random.ts'
import { owner, type Person, withoutLimits } from '../support/app.ts'
import { noBundles } from '../support/no-assets.ts'
import { fill, type Group, groupOf, idOf, onServer } from './group.ts'
import { cpuMs, type Line, met, quantileOf } from './measure.ts'

/*
 * How many reports a second the service takes, each answered with its verdict, beside a bare insert of the same rows: one
 * at a time, and twenty at once. On a PostgreSQL of its own that does not wait for the disk, with so many plates stored and
 * counted. `npm run bench -- report [plates stored] [reports sent]`
 */

/** Of a bare insert's throughput. */
const leastShare = 0.5
const clients = [1, 20]

/** @returns whether the service keeps to its share */
export function benchReport([stored = '10000', sent = '2000']: string[]): Promise<boolean> {
  return onServer(async (db) => {
    const app = await buildApp({
      db,
      assets: { folder: import.meta.dirname, manifest: noBundles },
      writeLimits: withoutLimits,
    })
    const person = await owner(app)
    const group = groupOf(Number(stored))
    await fill(db, group, person.id)
    await refit(db)
    await sql`vacuum analyze`.execute(db)
    console.log(`${group.plates} plates of ${group.files} files on ${group.printers} printers`)
    const results: boolean[] = []
    for (const atOnce of clients) results.push(await compare(db, person, group, Number(sent), atOnce))
    console.log(`load of the machine ${loadavg()[0]?.toFixed(1)}`)
    await app.close()
    return results.every(Boolean)
  })
}

async function compare(db: Db, person: Person, group: Group, sent: number, atOnce: number): Promise<boolean> {
  const random = new Random(7)
  const reports = Array.from({ length: sent }, () => reportOf(group, random))
  const warm = reports.slice(0, 200)
  const bare = (report: Report) => insertBare(db, person.id, report)
  const posted = (report: Report) => post(person, report)
  await run(warm, atOnce, bare)
  await run(warm, atOnce, posted)
  const inserting = await run(reports, atOnce, bare)
  const posting = await run(reports, atOnce, posted)
  const share = posting.perSecond / inserting.perSecond
  const lines: Line[] = [
    { what: `bare inserts a second, ${atOnce} at once`, value: inserting.perSecond, unit: '' },
    { what: 'reports a second', value: posting.perSecond, unit: '' },
    { what: 'processor time of this process, a bare insert', value: inserting.ownMs, unit: 'ms' },
    { what: 'and a report', value: posting.ownMs, unit: 'ms' },
    { what: 'a report, half of them within', value: quantileOf(posting.took, 0.5), unit: 'ms' },
    { what: 'a report, 99 of 100 within', value: quantileOf(posting.took, 0.99), unit: 'ms' },
    { what: 'bare inserts a report', value: 1 / share, unit: 'times', goal: 1 / leastShare },
  ]
  return lines.map(met).every(Boolean)
}

type Report = {
  supportSetId: string
  printer: number
  tried: number
  failed: number
}

/** Reports of one to eight copies, half of them with failures, on files and printers as often as those stored. */
function reportOf({ files, printers }: Group, random: Random): Report {
  const often = (count: number) => Math.floor(count * random.uniform() ** 2)
  const tried = 1 + Math.floor(8 * random.uniform() ** 2)
  const failed = random.uniform() < 0.5 ? 1 + Math.floor(tried * random.uniform() ** 2) : 0
  return { supportSetId: idOf('set', often(files)), printer: often(printers), tried, failed }
}

const printedOn = '2025-12-01'
const crowding = 'about full' as const
const seen = 'nothing stuck to the plate' as const

async function post(person: Person, { supportSetId, printer, tried, failed }: Report): Promise<void> {
  const answer = await person.post('/reports', {
    supportSetId,
    printerId: idOf('printer', printer),
    printedOn,
    crowding,
    tried,
    good: tried - failed,
    failures: failed > 0 ? [{ seen, copies: failed }] : [],
  })
  if (answer.statusCode !== 201) throw new Error(`answered ${answer.statusCode}: ${answer.body}`)
}

/** The rows that such a report leaves, and nothing else. */
async function insertBare(db: Db, memberId: string, { supportSetId, printer, tried, failed }: Report): Promise<void> {
  const id = v7()
  const printerId = idOf('printer', printer)
  const printerPeriodId = idOf('period', 2 * printer + 1)
  await db.transaction().execute(async (trx) => {
    await trx.insertInto('plate').values({ id, memberId, printerId, printerPeriodId, printedOn, crowding }).execute()
    await trx
      .insertInto('print')
      .values({ id, plateId: id, supportSetId, tried, good: tried - failed })
      .execute()
    if (failed > 0) await trx.insertInto('printFailure').values({ printId: id, seen, copies: failed }).execute()
    await trx.insertInto('fitMark').values({ id: v7(), plateId: id }).execute()
  })
}

/** Does all of the work, so many pieces at a time. */
async function run<Item>(items: readonly Item[], atOnce: number, work: (item: Item) => Promise<void>) {
  const took: number[] = []
  const waiting = items.values()
  const [began, before] = [performance.now(), cpuMs()]
  await Promise.all(
    Array.from({ length: atOnce }, async () => {
      for (const item of waiting) {
        const since = performance.now()
        await work(item)
        took.push(performance.now() - since)
      }
    }),
  )
  const ownMs = (cpuMs() - before) / items.length
  return { took, ownMs, perSecond: (1000 * items.length) / (performance.now() - began) }
}
