import { type Kysely, sql } from 'kysely'

/** The group itself, its members, how they get in (invitations) and stay in (sessions). */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`create extension if not exists pg_trgm`.execute(db)
  await sql`create extension if not exists unaccent`.execute(db)
  // unaccent() is only STABLE (its dictionary could be exchanged), generated columns want IMMUTABLE.
  await sql`create function plain(words text) returns text language sql immutable strict parallel safe
    as $$ select lower(public.unaccent('public.unaccent'::regdictionary, words)) $$`.execute(db)
  await sql`create function plain_names(name text, aliases text[]) returns text language sql immutable parallel safe
    as $$ select public.plain(name || coalesce(' / ' || array_to_string(aliases, ' / '), '')) $$`.execute(db)

  await sql`create table member (
    id uuid primary key,
    name text not null,
    email text not null,
    password_hash text not null,
    role text not null check (role in ('member', 'steward', 'owner')),
    state text not null default 'active' check (state in ('active', 'left')),
    default_printer_id uuid,
    default_crowding text not null default 'normal' check (default_crowding in ('loose', 'normal', 'packed')),
    created_at timestamptz not null default now(),
    version integer not null default 1
  )`.execute(db)
  await sql`create unique index member_email on member (lower(email))`.execute(db)
  await sql`create index member_name on member (plain(name), id)`.execute(db)
  await sql`create unique index member_one_owner on member (role) where role = 'owner'`.execute(db)

  // One row: an installation serves one group.
  await sql`create table group_settings (
    only_row boolean primary key default true check (only_row),
    name text not null,
    currency char(3) not null,
    locale text not null default 'en-GB',
    time_zone text not null default 'UTC',
    looks_worth_minor bigint not null check (looks_worth_minor >= 0),
    resin_grams_per_ml numeric(6,3) not null default 1.1 check (resin_grams_per_ml > 0),
    resin_price_per_kg_minor bigint not null check (resin_price_per_kg_minor >= 0),
    resin_ml_per_model numeric(8,2) not null default 10 check (resin_ml_per_model > 0),
    clean_up_minor bigint not null check (clean_up_minor >= 0),
    time_per_hour_minor bigint not null default 0 check (time_per_hour_minor >= 0),
    is_demo boolean not null default false,
    created_at timestamptz not null default now(),
    version integer not null default 1
  )`.execute(db)

  // Asked of whoever sets up an installation that listens beyond loopback; gone once the group exists.
  await sql`create table setup_code (
    only_row boolean primary key default true check (only_row),
    code text not null
  )`.execute(db)

  // What one unit of a foreign currency is worth in the group's own; the newest row of a currency counts.
  await sql`create table rate (
    currency char(3) not null,
    seen_on date not null,
    worth numeric(18,8) not null check (worth > 0),
    primary key (currency, seen_on)
  )`.execute(db)

  await sql`create table session (
    id_hash text primary key,
    member_id uuid not null references member on delete cascade,
    created_at timestamptz not null default now(),
    expires_at timestamptz not null
  )`.execute(db)
  await sql`create index session_member on session (member_id)`.execute(db)

  await sql`create table invitation (
    id uuid primary key,
    code_hash text not null unique,
    role text not null check (role in ('member', 'steward')),
    uses_left integer not null check (uses_left >= 0),
    expires_at timestamptz not null,
    created_by uuid not null references member,
    created_at timestamptz not null default now(),
    withdrawn_at timestamptz
  )`.execute(db)

  // For whoever forgot their password: one link a member at most, told once by a steward.
  await sql`create table way_back (
    member_id uuid primary key references member on delete cascade,
    code_hash text not null unique,
    expires_at timestamptz not null
  )`.execute(db)

  // Counts tries (sign-in, set-up code, invitation code) per key and window; shared by all processes.
  await sql`create table attempt (
    key text primary key,
    window_start timestamptz not null,
    tries integer not null
  )`.execute(db)

  // What a POST with an Idempotency-Key answered, so that its repetition answers the same.
  await sql`create table answered_post (
    member_id uuid not null references member on delete cascade,
    key text not null,
    route text not null,
    body_hash text not null,
    status integer,
    headers jsonb,
    body jsonb,
    created_at timestamptz not null default now(),
    primary key (member_id, key)
  )`.execute(db)
  await sql`create index answered_post_age on answered_post (created_at)`.execute(db)
}
