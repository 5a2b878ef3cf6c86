import { type Kysely, sql } from 'kysely'

/** How far the printed models of an entry have come, and what else a roster has cost beside offers and prints. */
export async function up(db: Kysely<unknown>): Promise<void> {
  // Of the models that are printed, which follows from the prints that count for the entry.
  await sql`alter table roster_entry
    add column built integer not null default 0,
    add column painted integer not null default 0,
    add constraint roster_entry_army check (0 <= painted and painted <= built and built <= models)`.execute(db)

  // came_in: somebody else's share that was paid to the member; it is taken off.
  await sql`create table roster_spend_line (
    id uuid primary key,
    roster_id uuid not null references roster on delete cascade,
    words text not null,
    spent_on date not null,
    amount_minor bigint not null check (amount_minor >= 0),
    amount_currency char(3) not null,
    came_in boolean not null default false,
    created_at timestamptz not null default now()
  )`.execute(db)
  await sql`create index roster_spend_line_roster on roster_spend_line (roster_id)`.execute(db)
}
