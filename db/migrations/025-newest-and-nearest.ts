import { type Kysely, sql } from 'kysely'

/** What was still slower in a large group than in a small one. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await keepNewestPrints(db)
  await findSculptors(db)
}

/** The newest prints of a support set are read out of the index alone: without these columns all of its prints were, and sorted. */
async function keepNewestPrints(db: Kysely<unknown>): Promise<void> {
  await sql`drop index print_support_set`.execute(db)
  await sql`create index print_support_set on print (support_set_id, id) include (plate_id, tried, good)`.execute(db)
}

/**
 * Sculptors that may be named are looked for by an index, as files and units are (015): those near the words, asked for by
 * one likeness after another until there are as many as are wanted. Comparing every name took as long as all else of a search.
 */
async function findSculptors(db: Kysely<unknown>): Promise<void> {
  await sql`create index sculptor_near on sculptor using gin (plain(name) gin_trgm_ops) where credit = 'named'`.execute(
    db,
  )
  await sql`create function near_sculptors(words text, wanted integer) returns setof uuid
    language plpgsql set pg_trgm.word_similarity_threshold = 0.35 as $$
    declare
      near uuid[];
      likeness text;
    begin
      foreach likeness in array array['0.8', '0.6', '0.45', '0.35'] loop
        perform set_config('pg_trgm.word_similarity_threshold', likeness, true);
        select array_agg(id) into near from (
          select id from sculptor where words <% plain(name) and credit = 'named' limit 300
        ) one;
        exit when coalesce(cardinality(near), 0) >= wanted;
      end loop;
      return query select unnest(near);
    end $$`.execute(db)
}
