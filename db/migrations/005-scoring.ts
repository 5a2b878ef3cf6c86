import { type Kysely, sql } from 'kysely'

/** What the scoring has learnt. All of it can be computed anew from the reports; nothing here is evidence itself. */
export async function up(db: Kysely<unknown>): Promise<void> {
  // One row per file and kind of support: older revisions' reports count here too, at less weight. x, y and prior are
  // what the next report is learnt on; shape (the one Beta nearest to the success), mean, low, high are what is shown.
  await sql`create table print_success (
    file_id uuid not null references file on delete cascade,
    kind text not null,
    x double precision not null default 0,
    y double precision not null default 0,
    prior_a double precision not null,
    prior_b double precision not null,
    shape_a double precision not null,
    shape_b double precision not null,
    mean double precision not null,
    low double precision not null,
    high double precision not null,
    copies double precision not null,
    updated_at timestamptz not null default now(),
    primary key (file_id, kind)
  )`.execute(db)

  await sql`create table plate_success (
    crowding text primary key check (crowding in ('loose', 'normal', 'packed')),
    x double precision not null default 0,
    y double precision not null default 0
  )`.execute(db)
  await sql`insert into plate_success (crowding) values ('loose'), ('normal'), ('packed')`.execute(db)

  await sql`create table scoring_fit (
    only_row boolean primary key default true check (only_row),
    mu0 double precision not null,
    k0 double precision not null,
    k double precision not null,
    am double precision not null,
    bm double precision not null,
    sweeps integer not null,
    capped boolean not null,
    reports integer not null,
    fitted_at timestamptz not null
  )`.execute(db)
}
