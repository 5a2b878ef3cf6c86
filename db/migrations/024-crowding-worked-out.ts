import { type Kysely, sql } from 'kysely'

/** How full a plate was may be worked out from what its copies cover; so far whoever reported it said so. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`alter table plate add column crowding_worked_out boolean not null default false`.execute(db)
}
