import { type Kysely, sql } from 'kysely'

const words = sql.raw(`case crowding when 'loose' then 'half empty' when 'normal' then 'about full' else crowding end`)

/**
 * A plate holds one or more prints. Every report so far is the plate of one print, under the same id. How full a plate is
 * gets the words that the pages have.
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  // A failed plate may be noted while it is still wet, without its prints (told = false), and be told in full later.
  await sql`create table plate (
    id uuid primary key,
    member_id uuid not null references member,
    printer_id uuid not null references printer,
    printer_period_id uuid not null references printer_period,
    printed_on date not null,
    crowding text not null check (crowding in ('half empty', 'about full', 'packed')),
    remark text not null default '',
    told boolean not null default true,
    created_at timestamptz not null default now(),
    version integer not null default 1
  )`.execute(db)
  await sql`insert into plate (id, member_id, printer_id, printer_period_id, printed_on, crowding, remark, created_at, version)
    select id, member_id, printer_id, printer_period_id, printed_on, ${words}, remark, created_at, version
    from report`.execute(db)
  await sql`create index plate_period on plate (printer_period_id, printed_on, id)`.execute(db)
  await sql`create index plate_printer on plate (printer_id, printed_on)`.execute(db)
  await sql`create index plate_member on plate (member_id, id)`.execute(db)

  // mended: of the failed copies, those that were saved by hand; minutes is how long that took, if told.
  await sql`create table print (
    id uuid primary key,
    plate_id uuid not null references plate on delete cascade,
    support_set_id uuid not null references support_set,
    tried integer not null check (tried > 0),
    good integer not null check (good >= 0 and good <= tried),
    mended integer not null default 0 check (mended >= 0 and mended <= tried - good),
    mended_minutes integer check (mended_minutes > 0),
    check (mended > 0 or mended_minutes is null),
    unique (plate_id, support_set_id) deferrable
  )`.execute(db)
  await sql`insert into print (id, plate_id, support_set_id, tried, good)
    select id, id, support_set_id, tried, good from report`.execute(db)
  await sql`create index print_support_set on print (support_set_id, id)`.execute(db)

  await sql`create table print_failure (
    print_id uuid not null references print on delete cascade,
    seen text not null check (seen in ('supports snapped', 'part had no support', 'nothing stuck to the plate',
      'one side of the plate only', 'stuck to the film', 'layers pulled apart', 'soft detail', 'don''t know')),
    copies integer not null check (copies > 0),
    primary key (print_id, seen)
  )`.execute(db)
  await sql`insert into print_failure select report_id, seen, copies from report_failure`.execute(db)

  await sql`alter table roster_print rename column report_id to print_id`.execute(db)
  await sql`alter table roster_print drop constraint roster_print_report_id_fkey`.execute(db)
  await sql`alter table roster_print add foreign key (print_id) references print on delete cascade`.execute(db)
  await sql`drop table report_failure`.execute(db)
  await sql`drop table report`.execute(db)
  await renameCrowdingOfMembers(db)
}

async function renameCrowdingOfMembers(db: Kysely<unknown>): Promise<void> {
  await sql`alter table member drop constraint member_default_crowding_check`.execute(db)
  await sql`alter table member alter default_crowding set default 'about full'`.execute(db)
  const renamed = sql.raw(
    `case default_crowding when 'loose' then 'half empty' when 'normal' then 'about full' else default_crowding end`,
  )
  await sql`update member set default_crowding = ${renamed}`.execute(db)
  await sql`alter table member add check (default_crowding in ('half empty', 'about full', 'packed'))`.execute(db)
}
