import { type Kysely, sql } from 'kysely'

/** A member sees where they are signed in, and ends it one by one. Of earlier sessions nobody noted from where. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`alter table session add id uuid, add place text, add browser text,
    add seen_at timestamptz not null default now()`.execute(db)
  // A UUIDv7 (RFC 9562) of the time at which it began, as new ones have: the list is in the order of these.
  await sql`update session set id = (lpad(to_hex(floor(extract(epoch from created_at) * 1000)::bigint), 12, '0')
    || '7' || substr(md5(id_hash), 1, 3) || '8' || substr(md5(id_hash), 4, 15))::uuid`.execute(db)
  await sql`alter table session alter id set not null, add unique (id)`.execute(db)
}
