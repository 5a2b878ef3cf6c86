import { type Kysely, sql } from 'kysely'

/** Whom an invitation is for, in its maker's words: else stewards can't tell several open ones apart. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`alter table invitation add column note text not null default ''`.execute(db)
}
