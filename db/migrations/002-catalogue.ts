import { type Kysely, sql } from 'kysely'

/** A round base has a width alone, the others a length as well; no base at all is fine. */
const base = sql.raw(`
  base_shape text check (base_shape in ('round', 'oval', 'rectangle')),
  base_width_mm numeric(6,1) check (base_width_mm > 0),
  base_length_mm numeric(6,1) check (base_length_mm > 0),
  check ((base_shape is null) = (base_width_mm is null)),
  check (base_shape is not null or base_length_mm is null),
  check (base_shape is null or (base_shape = 'round') = (base_length_mm is null))`)

/** Units, and the files that may stand in for them with their revisions, support sets, offers and snags. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`create table unit (
    id uuid primary key,
    name text not null,
    aliases text[] not null default '{}',
    setting text not null default '',
    scale_mm numeric(6,1) not null check (scale_mm > 0),
    ${base},
    models_per_unit integer not null default 1 check (models_per_unit > 0),
    retail_price_minor bigint check (retail_price_minor >= 0),
    retail_price_currency char(3),
    created_by uuid not null references member,
    created_at timestamptz not null default now(),
    version integer not null default 1,
    search text not null generated always as (plain_names(name, aliases)) stored,
    check ((retail_price_minor is null) = (retail_price_currency is null))
  )`.execute(db)
  await sql`create index unit_search on unit using gin (search gin_trgm_ops)`.execute(db)
  await sql`create unique index unit_name on unit (plain(name), plain(setting), scale_mm)`.execute(db)

  await sql`create table sculptor (
    id uuid primary key,
    name text not null,
    credit text not null check (credit in ('named', 'unnamed')),
    created_at timestamptz not null default now(),
    version integer not null default 1
  )`.execute(db)
  await sql`create unique index sculptor_name on sculptor (plain(name))`.execute(db)

  await sql`create table file (
    id uuid primary key,
    title text not null,
    sculptor_id uuid not null references sculptor,
    scale_mm numeric(6,1) check (scale_mm > 0),
    ${base},
    height_mm numeric(6,1) check (height_mm > 0),
    formats text[] not null default '{}',
    options text[] not null default '{}',
    style_tags text[] not null default '{}',
    licence text not null default '',
    resin_ml numeric(8,2) check (resin_ml > 0),
    remark text not null default '',
    created_by uuid not null references member,
    created_at timestamptz not null default now(),
    version integer not null default 1,
    search text not null generated always as (plain(title)) stored
  )`.execute(db)
  await sql`create index file_search on file using gin (search gin_trgm_ops)`.execute(db)
  await sql`create unique index file_title on file (sculptor_id, plain(title))`.execute(db)

  await sql`create table file_unit (
    file_id uuid not null references file on delete cascade,
    unit_id uuid not null references unit on delete cascade,
    primary key (file_id, unit_id)
  )`.execute(db)
  await sql`create index file_unit_unit on file_unit (unit_id)`.execute(db)

  await sql`create table revision (
    id uuid primary key,
    file_id uuid not null references file on delete cascade,
    label text not null,
    released_on date,
    sha256 char(64),
    created_by uuid not null references member,
    created_at timestamptz not null default now(),
    unique (file_id, label)
  )`.execute(db)

  await sql`create table support_set (
    id uuid primary key,
    revision_id uuid not null references revision on delete cascade,
    kind text not null check (kind in ('as supplied', 'extra supports', 'own supports')),
    claim text not null default '',
    created_by uuid not null references member,
    created_at timestamptz not null default now(),
    unique (revision_id, kind)
  )`.execute(db)

  await sql`create table offer (
    id uuid primary key,
    kind text not null check (kind in ('purchase', 'bundle', 'membership', 'free')),
    title text not null default '',
    price_minor bigint not null check (price_minor >= 0),
    price_currency char(3) not null,
    min_months integer check (min_months > 0),
    url text check (url ~ '^https?://'),
    state text not null default 'on sale' check (state in ('on sale', 'members only', 'withdrawn')),
    seen_on date not null,
    created_by uuid not null references member,
    created_at timestamptz not null default now(),
    version integer not null default 1,
    check ((kind = 'membership') = (min_months is not null)),
    check (kind <> 'free' or price_minor = 0)
  )`.execute(db)

  await sql`create table offer_file (
    offer_id uuid not null references offer on delete cascade,
    file_id uuid not null references file on delete cascade,
    primary key (offer_id, file_id)
  )`.execute(db)
  await sql`create index offer_file_file on offer_file (file_id)`.execute(db)

  // Every price and state that an offer ever had, with the day it was seen.
  await sql`create table offer_price (
    id uuid primary key,
    offer_id uuid not null references offer on delete cascade,
    price_minor bigint not null,
    price_currency char(3) not null,
    state text not null,
    seen_on date not null,
    created_by uuid not null references member,
    created_at timestamptz not null default now()
  )`.execute(db)
  await sql`create index offer_price_offer on offer_price (offer_id, seen_on)`.execute(db)

  await sql`create table snag (
    id uuid primary key,
    file_id uuid not null references file on delete cascade,
    revision_id uuid not null references revision on delete cascade,
    kind text not null check (kind in ('unsupported part', 'too light supports', 'trapped-resin hollow', 'missing option',
      'wrong scale', 'fragile detail', 'broken mesh', 'dead link')),
    severity text not null check (severity in ('blocks', 'costs time', 'cosmetic')),
    part text not null default '',
    minutes integer check (minutes > 0),
    detail text not null default '',
    state text not null default 'open' check (state in ('open', 'acknowledged by sculptor', 'fixed')),
    fixed_in_revision_id uuid references revision,
    created_by uuid not null references member,
    created_at timestamptz not null default now(),
    version integer not null default 1,
    check ((severity = 'costs time') = (minutes is not null)),
    check ((state = 'fixed') = (fixed_in_revision_id is not null))
  )`.execute(db)
  await sql`create index snag_file on snag (file_id)`.execute(db)

  // What a member already has: files in the archive (price 0) and memberships that run.
  await sql`create table archive (
    member_id uuid not null references member on delete cascade,
    file_id uuid not null references file on delete cascade,
    created_at timestamptz not null default now(),
    primary key (member_id, file_id)
  )`.execute(db)
  await sql`create table running_membership (
    member_id uuid not null references member on delete cascade,
    offer_id uuid not null references offer on delete cascade,
    created_at timestamptz not null default now(),
    primary key (member_id, offer_id)
  )`.execute(db)
}
