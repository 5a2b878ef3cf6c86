import { type Kysely, sql } from 'kysely'

/**
 * What the scoring has learnt. All of it can be computed anew from the reports; nothing here is evidence itself.
 *
 * A full fit writes rows of its own number beside those that count, and takes over by one update of `scoring_fit`: until
 * then nobody waits for it, and one that dies leaves nothing but rows that nobody reads.
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  // attempt is the number of the latest fit that was begun, fit that of the one whose rows count, 0 before the first.
  await sql`create table scoring_fit (
    only_row boolean primary key default true check (only_row),
    attempt integer not null default 0,
    fit integer not null default 0,
    mu0 double precision,
    k0 double precision,
    k double precision,
    am double precision,
    bm double precision,
    sweeps integer not null default 0,
    capped boolean not null default false,
    reports integer not null default 0,
    fitted_at timestamptz,
    check (fit <= attempt),
    check ((fit = 0) = (fitted_at is null)),
    check ((fitted_at is null) = (mu0 is null) and (mu0 is null) = (k0 is null) and (mu0 is null) = (k is null)
      and (mu0 is null) = (am is null) and (mu0 is null) = (bm is null))
  )`.execute(db)
  await sql`insert into scoring_fit default values`.execute(db)

  // One row per file and kind of support: older revisions' reports count here too, at less weight. x, y and prior are
  // what the next report is learnt on; shape (the one Beta nearest to the success), mean, low, high are what is shown,
  // worked out when the line's plain Beta was (plain_a, plain_b).
  await sql`create table print_success (
    file_id uuid not null references file on delete cascade,
    kind text not null,
    fit integer not null,
    x double precision not null default 0,
    y double precision not null default 0,
    prior_a double precision not null,
    prior_b double precision not null,
    shape_a double precision not null,
    shape_b double precision not null,
    plain_a double precision not null,
    plain_b double precision not null,
    mean double precision not null,
    low double precision not null,
    high double precision not null,
    copies double precision not null,
    cases double precision[],
    updated_at timestamptz not null default now(),
    primary key (file_id, kind, fit)
  )`.execute(db)

  // cases, here and above: the ways in which the failures that the fit knew may have come about (evidence/told.ts).
  // Success and failure totals of a printer's upkeep period, prior left out; no row while there is no evidence.
  await sql`create table period_success (
    period_id uuid not null references printer_period on delete cascade,
    fit integer not null,
    x double precision not null default 0,
    y double precision not null default 0,
    cases double precision[],
    primary key (period_id, fit)
  )`.execute(db)

  await sql`create table plate_success (
    crowding text not null check (crowding in ('loose', 'normal', 'packed')),
    fit integer not null,
    x double precision not null default 0,
    y double precision not null default 0,
    primary key (crowding, fit)
  )`.execute(db)

  // What the failed copies of one report that looked alike are taken for: six messages. It refers to no report, since a
  // fit may have known one that was changed or removed while it ran, and has to take just this back.
  await sql`create table failure_message (
    report_id uuid not null,
    seen text not null,
    fit integer not null,
    message double precision[] not null,
    primary key (report_id, seen, fit)
  )`.execute(db)

  // What each report of a member on one line and printer period counts, where these are so many that they count for less.
  await sql`create table member_share (
    member_id uuid not null references member on delete cascade,
    file_id uuid not null references file on delete cascade,
    kind text not null,
    period_id uuid not null references printer_period on delete cascade,
    fit integer not null,
    weight double precision not null check (weight > 0 and weight < 1),
    primary key (member_id, file_id, kind, period_id, fit)
  )`.execute(db)

  // How a member's reports look beside everybody else's: surprise is the logarithm to base 10 of how much better the habit
  // explains them than honest reporting; weight is what the member's evidence counts.
  await sql`create table member_standing (
    member_id uuid not null references member on delete cascade,
    fit integer not null,
    reports integer not null,
    surprise double precision not null,
    habit text not null,
    weight double precision not null check (weight > 0 and weight <= 1),
    primary key (member_id, fit)
  )`.execute(db)

  // Reports that came, changed or went since a fit was begun, with what they were worth then (null for a new one): the
  // fit learns them on top before it takes over, and how many there are tells when the next one is due.
  await sql`create table report_change (
    attempt integer not null,
    report_id uuid not null,
    before jsonb,
    primary key (attempt, report_id)
  )`.execute(db)
}
