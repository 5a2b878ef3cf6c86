import { type Kysely, sql } from 'kysely'

/** What members noted by mistake can be corrected and taken back; a plan is kept as it comes. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`alter table revision add version integer not null default 1`.execute(db)
  await sql`alter table upkeep add version integer not null default 1`.execute(db)

  // What a fit learnt refers to no upkeep period: it may have known one whose upkeep was taken back while it ran.
  await sql`alter table period_success drop constraint period_success_period_id_fkey`.execute(db)
  await sql`alter table member_share drop constraint member_share_period_id_fkey`.execute(db)

  // Nothing is looked up in what is large of a plan, and taking it apart would hold others up.
  await sql`alter table roster_plan alter instance type json using instance::json, alter outcome type json using outcome::json`.execute(
    db,
  )
}
