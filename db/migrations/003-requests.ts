import { type Kysely, sql } from 'kysely'

/** Requests for a unit, the files proposed for them, and the group's answers to "Would you field it?". */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`create table request (
    id uuid primary key,
    asker_id uuid not null references member,
    unit_id uuid not null references unit,
    wanted integer not null check (wanted > 0),
    must_haves text[] not null default '{}',
    budget_minor bigint check (budget_minor >= 0),
    budget_currency char(3),
    needed_by date,
    remark text not null default '',
    state text not null default 'open' check (state in ('open', 'settled', 'withdrawn')),
    settled_file_id uuid references file,
    closed_at timestamptz,
    created_at timestamptz not null default now(),
    version integer not null default 1,
    check ((budget_minor is null) = (budget_currency is null)),
    check ((state = 'settled') = (settled_file_id is not null)),
    check ((state = 'open') = (closed_at is null))
  )`.execute(db)
  await sql`create index request_state on request (state, id)`.execute(db)
  await sql`create index request_unit on request (unit_id)`.execute(db)

  await sql`create table proposal (
    id uuid primary key,
    request_id uuid not null references request on delete cascade,
    file_id uuid not null references file,
    proposer_id uuid not null references member,
    covers text[] not null default '{}',
    remark text not null default '',
    created_at timestamptz not null default now(),
    unique (request_id, file_id)
  )`.execute(db)
  await sql`create index proposal_file on proposal (file_id)`.execute(db)

  await sql`create table vote (
    proposal_id uuid not null references proposal on delete cascade,
    member_id uuid not null references member on delete cascade,
    would_field boolean not null,
    created_at timestamptz not null default now(),
    primary key (proposal_id, member_id)
  )`.execute(db)
}
