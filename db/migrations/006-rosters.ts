import { type Kysely, sql } from 'kysely'

/** Rosters with their entries, the plan made for each, and what carrying it out has cost. */
export async function up(db: Kysely<unknown>): Promise<void> {
  // list_version counts the changes that a plan depends on: those of the entries, not of the name.
  await sql`create table roster (
    id uuid primary key,
    owner_id uuid not null references member,
    name text not null,
    shared boolean not null default true,
    list_version integer not null default 1,
    created_at timestamptz not null default now(),
    version integer not null default 1
  )`.execute(db)
  await sql`create index roster_owner on roster (owner_id, id)`.execute(db)

  // words: what was pasted or typed; an entry without a unit waits to be told which one is meant.
  await sql`create table roster_entry (
    id uuid primary key,
    roster_id uuid not null references roster on delete cascade,
    place integer not null,
    words text not null,
    unit_id uuid references unit,
    models integer not null check (models > 0),
    retail_price_minor bigint check (retail_price_minor >= 0),
    retail_price_currency char(3),
    retail_per text not null default 'box' check (retail_per in ('box', 'entry')),
    check ((retail_price_minor is null) = (retail_price_currency is null))
  )`.execute(db)
  await sql`create index roster_entry_roster on roster_entry (roster_id, place)`.execute(db)
  await sql`create index roster_entry_unit on roster_entry (unit_id)`.execute(db)

  // The last plan of a roster, also while it is being solved, by whichever process: its heart has to beat meanwhile.
  await sql`create table roster_plan (
    roster_id uuid primary key references roster on delete cascade,
    id uuid not null,
    list_version integer not null,
    state text not null check (state in ('running', 'done')),
    asked jsonb not null,
    instance jsonb not null,
    outcome jsonb not null,
    progress jsonb,
    alternatives jsonb not null default '[]',
    stop_asked boolean not null default false,
    started_at timestamptz not null default now(),
    heartbeat_at timestamptz not null default now(),
    ended_at timestamptz
  )`.execute(db)

  // What was paid for an offer. It outlives the roster for which it was bought, since the files do.
  await sql`create table roster_purchase (
    id uuid primary key,
    member_id uuid not null references member,
    roster_id uuid references roster on delete set null,
    offer_id uuid not null references offer,
    is_membership boolean not null,
    paid_minor bigint not null check (paid_minor >= 0),
    paid_currency char(3) not null,
    bought_on date not null,
    created_at timestamptz not null default now()
  )`.execute(db)
  await sql`create unique index roster_purchase_once on roster_purchase (member_id, offer_id)
    where not is_membership`.execute(db)
  await sql`create index roster_purchase_roster on roster_purchase (roster_id)`.execute(db)

  // A report counts for one entry of one roster at most.
  await sql`create table roster_print (
    report_id uuid primary key references report on delete cascade,
    entry_id uuid not null references roster_entry on delete cascade
  )`.execute(db)
  await sql`create index roster_print_entry on roster_print (entry_id)`.execute(db)
}
