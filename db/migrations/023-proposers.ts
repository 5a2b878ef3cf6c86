import { type Kysely, sql } from 'kysely'

/** What members brought is counted by who proposed it. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`create index proposal_proposer on proposal (proposer_id)`.execute(db)
}
