import { type Kysely, sql } from 'kysely'

/**
 * Resins of one's own: what a member's bottles cost and weigh. One is their usual one; a plate may name another of them,
 * and only the printing member's own, which the two foreign keys with the member in them hold.
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`create table resin (
    id uuid primary key,
    owner_id uuid not null references member,
    name text not null,
    price_minor bigint not null check (price_minor >= 0),
    price_currency text not null,
    bottle_g numeric(7,1) check (bottle_g > 0),
    bottle_ml numeric(7,1) check (bottle_ml > 0),
    grams_per_ml numeric(4,3) not null check (grams_per_ml between 0.8 and 2),
    remark text not null default '',
    state text not null default 'in use' check (state in ('in use', 'retired')),
    created_at timestamptz not null default now(),
    version integer not null default 1,
    constraint resin_of_owner unique (owner_id, id),
    constraint resin_bottle check (bottle_g is null or bottle_ml is null)
  )`.execute(db)
  await sql`create unique index resin_name on resin (owner_id, plain(name))`.execute(db)
  await sql`alter table member add default_resin_id uuid,
    add constraint member_resin foreign key (id, default_resin_id) references resin (owner_id, id)`.execute(db)
  await sql`alter table plate add resin_id uuid,
    add constraint plate_resin foreign key (member_id, resin_id) references resin (owner_id, id)`.execute(db)
  await sql`create index plate_by_resin on plate (resin_id) where resin_id is not null`.execute(db)
}
