import { type Kysely, sql } from 'kysely'

/** What keeps pages of a large group as quick as those of a small one. */
export async function up(db: Kysely<unknown>): Promise<void> {
  // How the group votes on all files together, which every answer's looks rest on, is counted as votes come and go.
  await sql`create table vote_count (
    only_row boolean primary key default true check (only_row),
    yes bigint not null check (yes >= 0),
    no bigint not null check (no >= 0)
  )`.execute(db)
  await sql`insert into vote_count (yes, no)
    select count(*) filter (where would_field), count(*) filter (where not would_field) from vote`.execute(db)
  await sql`create function count_votes() returns trigger language plpgsql as $$
    declare
      more_yes bigint := 0;
      more_no bigint := 0;
    begin
      if tg_op <> 'DELETE' then
        select more_yes + count(*) filter (where would_field), more_no + count(*) filter (where not would_field)
          into more_yes, more_no from came;
      end if;
      if tg_op <> 'INSERT' then
        select more_yes - count(*) filter (where would_field), more_no - count(*) filter (where not would_field)
          into more_yes, more_no from went;
      end if;
      if more_yes <> 0 or more_no <> 0 then
        update vote_count set yes = yes + more_yes, no = no + more_no;
      end if;
      return null;
    end $$`.execute(db)
  await sql`create trigger vote_came after insert on vote referencing new table as came
    for each statement execute function count_votes()`.execute(db)
  await sql`create trigger vote_changed after update on vote referencing old table as went new table as came
    for each statement execute function count_votes()`.execute(db)
  await sql`create trigger vote_went after delete on vote referencing old table as went
    for each statement execute function count_votes()`.execute(db)
}
