import { type Kysely, sql } from 'kysely'

/**
 * The scoring keeps the draws of its last fit and nothing else; all of it can be computed anew from the plates. What the
 * first edition learnt one report at a time goes. A group that has plates is fitted when the service is next started.
 *
 * A fit writes rows of its own number beside those that count, and takes over by one update of `scoring_fit`.
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  for (const table of [
    'report_change',
    'member_standing',
    'member_share',
    'failure_message',
    'plate_success',
    'period_success',
    'print_success',
    'scoring_fit',
  ]) {
    await sql`drop table ${sql.id(table)}`.execute(db)
  }

  // attempt is the number of the latest fit that was begun, fit that of the one whose rows count, 0 before the first.
  // group_draws: what the group as a whole is like, 400 draws (server/scoring/draws.ts). rhat: how well the chains agree,
  // at their worst; over 1.05 the next fit is twice as long.
  await sql`create table scoring_fit (
    only_row boolean primary key default true check (only_row),
    attempt integer not null default 0,
    fit integer not null default 0,
    group_draws bytea,
    sweeps integer not null default 0,
    rhat double precision,
    effective_size double precision,
    plates integer not null default 0,
    ms integer not null default 0,
    fitted_at timestamptz,
    check (fit <= attempt),
    check ((fit = 0) = (fitted_at is null) and (fit = 0) = (group_draws is null))
  )`.execute(db)
  await sql`insert into scoring_fit default values`.execute(db)

  // 16 bits a draw, 400 a row, in every table below. mean, low and high (80 %) are those of the draws.
  await sql`create table line_draws (
    file_id uuid not null,
    kind text not null,
    fit integer not null,
    draws bytea not null,
    mean double precision not null,
    low double precision not null,
    high double precision not null,
    copies double precision not null,
    primary key (file_id, kind, fit)
  )`.execute(db)
  await sql`create table sculptor_draws (
    sculptor_id uuid not null,
    kind text not null,
    fit integer not null,
    draws bytea not null,
    primary key (sculptor_id, kind, fit)
  )`.execute(db)
  // The machine at the period's last plate; worn: the chance that it was worn then.
  await sql`create table period_draws (
    period_id uuid not null,
    fit integer not null,
    draws bytea not null,
    worn double precision not null,
    primary key (period_id, fit)
  )`.execute(db)
  // By plate, the chance that its machine was worn.
  await sql`create table plate_wear (
    plate_id uuid not null,
    fit integer not null,
    worn real not null,
    primary key (plate_id, fit)
  )`.execute(db)
  // By print with failed copies, whose fault they were; the plate's share is what is left.
  await sql`create table print_blame (
    print_id uuid not null,
    fit integer not null,
    file real not null,
    machine real not null,
    primary key (print_id, fit)
  )`.execute(db)

  // Each writer leaves a mark of its own, so that none waits for another; the fit that has read it takes it away. A mark
  // without a plate stands for anything else that changes what plates are worth: a merge, a mended snag, a revision.
  await sql`create table fit_mark (
    id uuid primary key,
    plate_id uuid,
    created_at timestamptz not null default now()
  )`.execute(db)
  await sql`insert into fit_mark (id) select gen_random_uuid() where exists (select from plate)`.execute(db)
}
