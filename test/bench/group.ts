import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { type RawBuilder, sql } from 'kysely'
import { type Db, openDatabase } from '../../db/connect.ts'
import { migrate } from '../../db/migrate.ts'
import { findBinaries, startLocal } from '../support/postgres.ts'

/*
 * A group of any size in a PostgreSQL of its own that does not wait for the disk.
 */

/** Runs something on an empty, migrated database. @throws Error without the programs of PostgreSQL on this machine */
export async function onServer<Result>(work: (db: Db, url: string) => Promise<Result>): Promise<Result> {
  const binaries = await findBinaries()
  if (!binaries) throw new Error('This needs the programs of PostgreSQL (initdb, postgres) on this machine.')
  const folder = await mkdtemp(join(tmpdir(), 'understudy-bench-'))
  const server = await startLocal(binaries, folder)
  const { db, close } = await openDatabase({ url: server.url })
  try {
    await migrate(db)
    return await work(db, server.url)
  } finally {
    await close()
    await server.stop()
    await rm(folder, { recursive: true, force: true })
  }
}

export interface Group {
  plates: number
  files: number
  printers: number
}

/** As many files and printers a plate as in a group of a million. */
export const groupOf = (plates: number): Group => ({
  plates,
  files: Math.max(10, Math.round(plates / 10)),
  printers: Math.max(10, Math.round(plates / 66)),
})

/** Ids that can be named by number, in the order of the numbers. */
export const kinds = {
  sculptor: '10000000',
  file: '20000000',
  revision: '30000000',
  set: '40000000',
  printer: '50000000',
  period: '60000000',
  plate: '00000001',
  member: '70000000',
  unit: '80000000',
  request: '90000000',
  proposal: 'a0000000',
  offer: 'b0000000',
  snag: 'c0000000',
}
export const idOf = (kind: keyof typeof kinds, number: number) =>
  `${kinds[kind]}-0000-7000-8000-${number.toString(16).padStart(12, '0')}`
/** The same in SQL, of a whole number. */
export const id = (kind: keyof typeof kinds, number: string) =>
  sql.raw(`('${kinds[kind]}-0000-7000-8000-' || lpad(to_hex(${number}), 12, '0'))::uuid`)

/**
 * Fills a group: six files a sculptor, two upkeep periods a printer, and some files and printers reported on far more
 * often than others (the density falls as the inverse square root, so the first of 100,000 has 3,000 plates of a million).
 * Every plate holds one print of one to eight copies, of which some fail. Nothing of it is counted yet.
 */
export async function fill(db: Db, { plates, files, printers }: Group, memberId: string): Promise<void> {
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
    run`create temporary table made as
      select n, floor(${files} * random() ^ 2)::int file, floor(${2 * printers} * random() ^ 2)::int period,
        1 + floor(8 * random() ^ 2)::int tried, random() < 0.35 as fails, random() as share,
        (array['half empty', 'about full', 'packed'])[1 + floor(3 * random())::int] crowding,
        (array['supports snapped', 'part had no support', 'nothing stuck to the plate', 'stuck to the film',
          'one side of the plate only', 'layers pulled apart', 'soft detail', 'don''t know'])[1 + floor(8 * random())::int] seen
      from generate_series(0, ${plates - 1}::int) n`,
    run`alter table made add good int`,
    run`update made set good = case when fails then tried - 1 - floor(tried * share ^ 2)::int else tried end`,
    run`insert into plate (id, member_id, printer_id, printer_period_id, printed_on, crowding)
      select ${id('plate', 'n')}, ${memberId}, ${id('printer', 'period / 2')}, ${id('period', 'period')},
        case when period % 2 = 1 then date '2025-01-01' else date '2024-01-01' end + n % 300, crowding
      from made order by n`,
    run`insert into print (id, plate_id, support_set_id, tried, good)
      select ${id('plate', 'n')}, ${id('plate', 'n')}, ${id('set', 'file')}, tried, good from made order by n`,
    run`insert into print_failure (print_id, seen, copies)
      select ${id('plate', 'n')}, seen, tried - good from made where good < tried order by n`,
    run`insert into fit_mark (id) values (gen_random_uuid())`,
  ]
  await make(db, [sql`select setseed(0.5)`, ...steps, sql`drop table made`])
}

/** Runs statements that make rows which fit together; what the service does with them later is checked as ever. */
export function make(db: Db, steps: readonly RawBuilder<unknown>[]): Promise<void> {
  return db.connection().execute(async (connection) => {
    await sql`set session_replication_role = replica`.execute(connection)
    await sql`set statement_timeout = 0`.execute(connection)
    for (const step of steps) await step.execute(connection)
    await sql`vacuum analyze`.execute(connection)
    await sql`set session_replication_role = default`.execute(connection)
    await sql`set statement_timeout = '30s'`.execute(connection)
  })
}
