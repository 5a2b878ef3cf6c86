import { type Kysely, sql } from 'kysely'

/** The set-up code is kept as a hash, one for each start of the service: whoever reads the table can't set up the group. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`drop table setup_code`.execute(db)
  await sql`create table setup_code (code_hash text primary key)`.execute(db)
}
