import { mkdtemp, rm } from 'node:fs/promises'
import { loadavg, tmpdir } from 'node:os'
import { join } from 'node:path'
import { sql } from 'kysely'
import { type Db, openDatabase } from '../../db/connect.ts'
import { migrate } from '../../db/migrate.ts'
import { buildApp } from '../../server/app.ts'
import { refit } from '../../server/features/evidence/queries.ts'
import { Random } from '../../server/scoring/random.ts'
import { owner, type Person, withoutLimits } from '../support/app.ts'
import { findBinaries, startLocal } from '../support/postgres.ts'
import { cpuMs, met, quantileOf } from './measure.ts'
import { timeTransactions } from './transactions.ts'

/*
 * One more report where a million are stored: its transaction, and the whole call from the request to the answer with its
 * verdict, on a PostgreSQL of its own that does not wait for the disk. It fits all of them first, as the service does at
 * night. `npm run bench -- report [reports stored] [reports sent]`
 */

const goalMs = 10

/** @returns whether 99 of 100 transactions took less than the goal */
export async function benchReport([stored = '1000000', sent = '1000']: string[]): Promise<boolean> {
  const binaries = await findBinaries()
  if (!binaries) throw new Error('This needs the programs of PostgreSQL (initdb, postgres) on this machine.')
  const folder = await mkdtemp(join(tmpdir(), 'understudy-bench-'))
  const server = await startLocal(binaries, folder)
  const transactions = timeTransactions()
  const { db, close } = await openDatabase({ url: server.url })
  try {
    await migrate(db)
    const app = await buildApp({
      db,
      assets: { folder, manifest: { css: 'style.css', js: 'app.js' } },
      writeLimits: withoutLimits,
    })
    const person = await owner(app)
    const size = sizeOf(Number(stored))
    const began = performance.now()
    await fill(db, size, person.id)
    console.log(
      `${size.reports} reports of ${size.files} files on ${size.printers} printers, stored in ${seconds(began)} s`,
    )
    const fitting = performance.now()
    const { sweeps } = await refit(db)
    await sql`vacuum analyze`.execute(db)
    console.log(`worked out from all of them in ${seconds(fitting)} s, ${sweeps} sweeps, ${gigabytes()} GB in use`)
    const before = cpuMs()
    const calls = await send(person, size, Number(sent))
    const ownMs = (cpuMs() - before) / (calls.length + warm)
    tell('the whole call', calls)
    const inDatabase = transactions.slice(-calls.length)
    tell('its transaction', inDatabase)
    console.log(
      `${ownMs.toFixed(1)} ms of a call on this process's processor, the database apart; load of the machine ${loadavg()[0]?.toFixed(1)}`,
    )
    await app.close()
    const value = quantileOf(inDatabase, 0.99)
    return met({ what: 'transaction of a report, 99 %', value, unit: 'ms', goal: goalMs })
  } finally {
    await close()
    await server.stop()
    await rm(folder, { recursive: true, force: true })
  }
}

interface Size {
  reports: number
  files: number
  printers: number
}

/** As many files and printers a report as in a group of a million. */
export const sizeOf = (reports: number): Size => ({
  reports,
  files: Math.max(10, Math.round(reports / 10)),
  printers: Math.max(10, Math.round(reports / 66)),
})

const gigabytes = () => (process.memoryUsage().rss / 1e9).toFixed(1)
const seconds = (since: number) => ((performance.now() - since) / 1000).toFixed(1)

/** Ids that can be named by number, in the order of the numbers. */
const idOf = (kind: string, number: number) => `${kind}-0000-7000-8000-${number.toString(16).padStart(12, '0')}`
const kinds = {
  ...{ sculptor: '10000000', file: '20000000', revision: '30000000', set: '40000000' },
  ...{ printer: '50000000', period: '60000000', report: '00000001' },
}
const id = (kind: keyof typeof kinds, number: string) =>
  sql.raw(`('${kinds[kind]}-0000-7000-8000-' || lpad(to_hex(${number}), 12, '0'))::uuid`)

/**
 * A group of any size: six files a sculptor, two upkeep periods a printer, and some files and printers reported on far
 * more often than others (the density falls as the inverse square root, so the first of 100,000 has 3,000 reports of a
 * million). Of each plate of one to eight copies some fail.
 */
export async function fill(db: Db, { reports, files, printers }: Size, memberId: string): Promise<void> {
  const run = (strings: TemplateStringsArray, ...values: unknown[]) => sql(strings, ...values)
  const steps = [
    run`insert into sculptor (id, name, credit) select ${id('sculptor', 'n')}, 'Sculptor ' || n, 'named'
      from generate_series(0, ${Math.ceil(files / 6)}) n`,
    run`insert into file (id, title, sculptor_id, created_by) select ${id('file', 'n')}, 'File ' || n, ${id('sculptor', 'n / 6')}, ${memberId}
      from generate_series(0, ${files - 1}::int) n`,
    run`insert into revision (id, file_id, label, created_by) select ${id('revision', 'n')}, ${id('file', 'n')}, 'first', ${memberId}
      from generate_series(0, ${files - 1}::int) n`,
    run`insert into support_set (id, revision_id, kind, created_by) select ${id('set', 'n')}, ${id('revision', 'n')}, 'as supplied', ${memberId}
      from generate_series(0, ${files - 1}::int) n`,
    run`insert into printer (id, owner_id, name, plate_width_mm, plate_depth_mm, build_height_mm, layer_um, exposure_s,
        bottom_layers, bottom_exposure_s, cycle_overhead_s)
      select ${id('printer', 'n')}, ${memberId}, 'Printer ' || n, 143, 89, 175, 50, 2.4, 5, 28, 7.5
      from generate_series(0, ${printers - 1}::int) n`,
    run`insert into printer_period (id, printer_id, starts_on)
      select ${id('period', 'n')}, ${id('printer', 'n / 2')}, case when n % 2 = 1 then date '2025-01-01' end
      from generate_series(0, ${2 * printers - 1}::int) n`,
    run`create temporary table plate as
      select n, floor(${files} * random() ^ 2)::int file, floor(${2 * printers} * random() ^ 2)::int period,
        1 + floor(8 * random() ^ 2)::int tried, (array['loose', 'normal', 'packed'])[1 + floor(3 * random())::int] crowding
      from generate_series(0, ${reports - 1}::int) n`,
    run`insert into report (id, member_id, support_set_id, printer_id, printer_period_id, printed_on, tried, good, crowding)
      select ${id('report', 'n')}, ${memberId}, ${id('set', 'file')}, ${id('printer', 'period / 2')}, ${id('period', 'period')},
        case when period % 2 = 1 then date '2025-01-01' else date '2024-01-01' end + n % 300, tried,
        tried - least(tried, case when random() < 0.45 then 1 + floor(tried * random() ^ 2)::int else 0 end), crowding
      from plate order by n`,
    run`insert into report_failure (report_id, seen, copies)
      select id, (array['supports snapped', 'part had no support', 'nothing stuck to the plate', 'stuck to the film',
        'one side of the plate only', 'layers pulled apart', 'soft detail', 'don''t know'])[1 + floor(8 * random())::int], tried - good
      from report where good < tried`,
    run`insert into report_failure (report_id, seen, copies)
      select report_id, 'supports snapped', 1 from report_failure where seen <> 'supports snapped' and random() < 0.5`,
    run`update report set tried = good + failed from (select report_id, sum(copies) failed from report_failure group by 1) f
      where f.report_id = report.id and tried <> good + failed`,
  ]
  await db.connection().execute(async (connection) => {
    // The rows fit together as they are made; what the service does with them later is checked as ever.
    await sql`set session_replication_role = replica`.execute(connection)
    await sql`set statement_timeout = 0`.execute(connection)
    await sql`select setseed(0.5)`.execute(connection)
    for (const step of steps) await step.execute(connection)
    await sql`vacuum analyze`.execute(connection)
    await sql`set session_replication_role = default`.execute(connection)
    await sql`set statement_timeout = '30s'`.execute(connection)
  })
}

/** Sent first, not counted: until the engine has compiled what is used often. */
const warm = 200

/** Reports of one to eight copies, half of them with failures, on files and printers as often as those stored. */
export async function send(person: Person, { files, printers }: Size, reports: number, seed = 7): Promise<number[]> {
  const random = new Random(seed)
  const often = (count: number) => Math.floor(count * random.uniform() ** 2)
  const took: number[] = []
  for (let sent = 0; sent < reports + warm; sent++) {
    const tried = 1 + Math.floor(8 * random.uniform() ** 2)
    const failed = random.uniform() < 0.5 ? 1 + Math.floor(tried * random.uniform() ** 2) : 0
    const body = {
      ...{ supportSetId: idOf(kinds.set, often(files)), printerId: idOf(kinds.printer, often(printers)) },
      ...{ printedOn: '2025-12-01', crowding: 'normal', tried, good: tried - failed },
      failures: failed > 0 ? [{ seen: 'nothing stuck to the plate', copies: failed }] : [],
    }
    const began = performance.now()
    const answer = await person.post('/reports', body)
    const ms = performance.now() - began
    if (answer.statusCode !== 201) throw new Error(`answered ${answer.statusCode}: ${answer.body}`)
    if (sent >= warm) took.push(ms)
  }
  return took
}

function tell(what: string, ms: number[]): void {
  const shares = [0.5, 0.9, 0.95, 0.99, 0.999]
  console.log(
    `${what}, ms: ${shares.map((share) => `${100 * share} % ${quantileOf(ms, share).toFixed(1)}`).join(', ')}`,
  )
}
