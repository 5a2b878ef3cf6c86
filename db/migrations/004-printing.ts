import { type Kysely, sql } from 'kysely'

/** Printers with their upkeep, and the print reports with what was seen on the failed copies. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`create table printer (
    id uuid primary key,
    owner_id uuid not null references member,
    name text not null,
    plate_width_mm numeric(6,1) not null check (plate_width_mm > 0),
    plate_depth_mm numeric(6,1) not null check (plate_depth_mm > 0),
    build_height_mm numeric(6,1) not null check (build_height_mm > 0),
    layer_um numeric(5,1) not null check (layer_um > 0),
    exposure_s numeric(6,2) not null check (exposure_s > 0),
    bottom_layers integer not null check (bottom_layers >= 0),
    bottom_exposure_s numeric(6,2) not null check (bottom_exposure_s >= 0),
    cycle_overhead_s numeric(6,2) not null check (cycle_overhead_s >= 0),
    state text not null default 'in use' check (state in ('in use', 'retired')),
    created_at timestamptz not null default now(),
    version integer not null default 1
  )`.execute(db)
  await sql`create unique index printer_name on printer (owner_id, plain(name))`.execute(db)
  await sql`alter table member add foreign key (default_printer_id) references printer on delete set null`.execute(db)

  await sql`create table upkeep (
    id uuid primary key,
    printer_id uuid not null references printer on delete cascade,
    kind text not null check (kind in ('film changed', 'plate levelled', 'vat filtered', 'screen replaced', 'other')),
    done_on date not null,
    remark text not null default '',
    created_by uuid not null references member,
    created_at timestamptz not null default now()
  )`.execute(db)
  await sql`create index upkeep_printer on upkeep (printer_id, done_on)`.execute(db)

  // Upkeep starts a new period; the first one, before any upkeep, starts on no known day.
  await sql`create table printer_period (
    id uuid primary key,
    printer_id uuid not null references printer on delete cascade,
    starts_on date,
    unique nulls not distinct (printer_id, starts_on)
  )`.execute(db)

  await sql`create table report (
    id uuid primary key,
    member_id uuid not null references member,
    support_set_id uuid not null references support_set,
    printer_id uuid not null references printer,
    printer_period_id uuid not null references printer_period,
    printed_on date not null,
    tried integer not null check (tried > 0),
    good integer not null check (good >= 0 and good <= tried),
    crowding text not null check (crowding in ('loose', 'normal', 'packed')),
    remark text not null default '',
    file_weight double precision not null default 1 check (file_weight > 0 and file_weight <= 1),
    created_at timestamptz not null default now(),
    version integer not null default 1
  )`.execute(db)
  await sql`create index report_support_set on report (support_set_id, id)`.execute(db)
  await sql`create index report_period on report (printer_period_id, printed_on, id)`.execute(db)
  // One member's reports on one line and period, which share what they count.
  await sql`create index report_period_set on report (printer_period_id, support_set_id)`.execute(db)
  await sql`create index report_printer on report (printer_id, printed_on)`.execute(db)
  await sql`create index report_member on report (member_id, id)`.execute(db)
  // The newest plates with failures of a line and of a printer period: what one more report is weighed against.
  await sql`create index report_failed_set on report (support_set_id, id) where good < tried`.execute(db)
  await sql`create index report_failed_period on report (printer_period_id, id) where good < tried`.execute(db)

  // One row is also one site of the scoring (report x seen); what has been made of it is in failure_message.
  await sql`create table report_failure (
    report_id uuid not null references report on delete cascade,
    seen text not null check (seen in ('supports snapped', 'part had no support', 'nothing stuck to the plate',
      'one side of the plate only', 'stuck to the film', 'layers pulled apart', 'soft detail', 'don''t know')),
    copies integer not null check (copies > 0),
    primary key (report_id, seen)
  )`.execute(db)
}
