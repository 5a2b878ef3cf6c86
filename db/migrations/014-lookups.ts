import { type Kysely, sql } from 'kysely'

/** What is looked up by another row's id has an index: what hangs on a file, an offer or a member. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`create index request_settled_file on request (settled_file_id) where settled_file_id is not null`.execute(
    db,
  )
  await sql`create index archive_file on archive (file_id)`.execute(db)
  await sql`create index roster_purchase_member on roster_purchase (member_id)`.execute(db)
  await sql`create index roster_purchase_offer on roster_purchase (offer_id)`.execute(db)
  await sql`create index invitation_created_by on invitation (created_by)`.execute(db)
}
