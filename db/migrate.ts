import { sql } from 'kysely'
import { type Migration, Migrator } from 'kysely/migration'
import type { Db } from './connect.ts'
import { migrations } from './migrations/index.ts'

/** The database was brought up to date by a newer version of this program; the present one would spoil it. */
export class NewerDatabase extends Error {
  override name = 'NewerDatabase'
  constructor(steps: string[]) {
    super(
      `The database is newer than this program, which does not know its steps ${steps.join(', ')}. ` +
        'Start the version that made them, or a later one.',
    )
  }
}

/**
 * Brings the database up to date: all missing steps in one transaction, one process at a time (Kysely's Migrator
 * holds an advisory lock).
 *
 * @returns names of the steps that were missing
 * @throws NewerDatabase before anything is changed; the database's own error when a step fails
 */
export function migrate(db: Db, known: Record<string, Migration> = migrations): Promise<string[]> {
  const provider = { getMigrations: async () => known }
  return withoutTimeout(db, async (connection) => {
    const { error, results } = await new Migrator({ db: connection, provider }).migrateToLatest()
    if (error !== undefined) throw (await newerThan(connection, known)) ?? error
    return (results ?? []).map((step) => step.migrationName)
  })
}

async function newerThan(db: Db, known: Record<string, Migration>): Promise<NewerDatabase | undefined> {
  const { rows } = await sql<{ name: string }>`select name from kysely_migration order by name`.execute(db)
  const unknown = rows.map((row) => row.name).filter((name) => !Object.hasOwn(known, name))
  return unknown.length > 0 ? new NewerDatabase(unknown) : undefined
}

/** A step may take longer than any other statement is allowed to, and so may the wait for a process that is at it. */
function withoutTimeout<Result>(db: Db, work: (connection: Db) => Promise<Result>): Promise<Result> {
  return db.connection().execute(async (connection) => {
    const { rows } = await sql<{ usual: string }>`select current_setting('statement_timeout') usual`.execute(connection)
    await sql`set statement_timeout = 0`.execute(connection)
    try {
      return await work(connection)
    } finally {
      await sql`select set_config('statement_timeout', ${rows[0]?.usual ?? '0'}, false)`.execute(connection)
    }
  })
}
