import { type Kysely, sql } from 'kysely'

/** What keeps pages of a large group as quick as those of a small one. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await countVotes(db)
  await searchByIndex(db)
  // What a member asked for, what they have still to tell of, and whose files are searched by what the asker may see.
  await sql`create index request_asker on request (asker_id, id)`.execute(db)
  await sql`create index plate_wet on plate (member_id, id) where not told`.execute(db)
  await sql`create index sculptor_unnamed on sculptor (id) where credit = 'unnamed'`.execute(db)
}

async function countVotes(db: Kysely<unknown>): Promise<void> {
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

/**
 * A file is looked for by its title and its sculptor together, which only one column can have an index on; the name of one
 * who asked not to be named stays where it was. What a sculptor changes while a file of theirs is just being added may be
 * missed; the night's tidying finds it.
 */
async function searchByIndex(db: Kysely<unknown>): Promise<void> {
  await sql`alter table file drop column search`.execute(db)
  await sql`alter table file add search text not null default ''`.execute(db)
  await sql`create function file_search(of_title text, by_sculptor uuid) returns text language sql stable as $$
    select public.plain(of_title) || coalesce((
      select ' / ' || public.plain(name) from public.sculptor where sculptor.id = by_sculptor and credit = 'named'
    ), '')
  $$`.execute(db)
  await sql`update file set search = file_search(title, sculptor_id)`.execute(db)
  await sql`create index file_search on file using gin (search gin_trgm_ops)`.execute(db)

  await sql`create function search_file() returns trigger language plpgsql as $$
    begin
      new.search := public.file_search(new.title, new.sculptor_id);
      return new;
    end $$`.execute(db)
  await sql`create trigger file_searched before insert or update of title, sculptor_id on file
    for each row execute function search_file()`.execute(db)
  await sql`create function search_files_of_sculptor() returns trigger language plpgsql as $$
    begin
      update public.file set search = public.file_search(title, sculptor_id) where sculptor_id = new.id;
      return null;
    end $$`.execute(db)
  await sql`create trigger sculptor_changed after update of name, credit on sculptor
    for each row when ((old.name, old.credit) is distinct from (new.name, new.credit)) execute function search_files_of_sculptor()`.execute(
    db,
  )

  // Of files (all but those of sculptors who asked not to be named), and of units.
  await createNear(db, 'file', "and sculptor_id not in (select id from sculptor where credit = 'unnamed')")
  await createNear(db, 'unit', '')
}

/**
 * A function that names candidates for a search: those that hold the words, and if these are fewer than are wanted, those
 * that come near them, the nearest by and by. Each likeness is asked of the index; a low one lets through thousands, which
 * have then to be compared one by one, so it is asked for only where nothing nearer is found, and no more than 300 are taken.
 */
async function createNear(db: Kysely<unknown>, table: string, condition: string): Promise<void> {
  await sql`create function ${sql.raw(`near_${table}s`)}(words text, wanted integer) returns setof uuid
    language plpgsql set pg_trgm.word_similarity_threshold = 0.35 as $$
    declare
      held uuid[];
      near uuid[];
      likeness text;
    begin
      select array_agg(id) into held from (
        select id from ${sql.raw(table)}
        where search like '%' || replace(replace(replace(words, '!', '!!'), '%', '!%'), '_', '!_') || '%' escape '!'
          ${sql.raw(condition)}
        order by id desc limit 300
      ) one;
      if coalesce(cardinality(held), 0) < wanted then
        foreach likeness in array array['0.8', '0.6', '0.45', '0.35'] loop
          perform set_config('pg_trgm.word_similarity_threshold', likeness, true);
          select array_agg(id) into near from (
            select id from ${sql.raw(table)} where words <% search ${sql.raw(condition)} limit 300
          ) one;
          exit when coalesce(cardinality(near), 0) >= wanted;
        end loop;
      end if;
      return query select unnest(held) union select unnest(near);
    end $$`.execute(db)
}
