import { type Kysely, type RawBuilder, sql } from 'kysely'

/** Searches with a typing error, which took three times as long in a large group as in a small one (015, 025). */
export async function up(db: Kysely<unknown>): Promise<void> {
  const isNamed = sql`sculptor_id not in (select id from sculptor where credit = 'unnamed')`
  await searchNearest(db, { table: 'file', text: sql`search`, isMeant: isNamed, next: sql`id desc`, holding: true })
  await searchNearest(db, { table: 'unit', text: sql`search`, isMeant: sql`true`, next: sql`name`, holding: true })
  const sculptor = { text: sql`plain(name)`, isMeant: sql`credit = 'named'`, next: sql`name, id`, holding: false }
  await searchNearest(db, { table: 'sculptor', ...sculptor })
}

interface Searched {
  table: string
  /** what the table has a trigram index of */
  text: RawBuilder<unknown>
  isMeant: RawBuilder<unknown>
  /** what orders those that are equally near */
  next: RawBuilder<unknown>
  /** whether those that hold the words come first, however near they are */
  holding: boolean
}

/**
 * Names what is found, and no more than is wanted, so that nothing else is joined and compared again.
 *
 * How near a name has to come follows from the words: with one letter of n trigrams wrong, three are lost and three others
 * stand in their place. Where that finds too few, each step lets in what is a seventh less near, down to 0.35. Fixed steps suited
 * words of one length: with a wrong letter in a short word, the index let thousands through of which each step but the last
 * found none near enough. An index is taken even where PostgreSQL hopes to come across enough without: it does not know how long a
 * comparison takes.
 */
async function searchNearest(db: Kysely<unknown>, searched: Searched): Promise<void> {
  const { text, isMeant, next, holding } = searched
  const table = sql.table(searched.table)
  const nearest = (some: RawBuilder<unknown>) => sql`array(
    select id from (select * from ${table} where ${isMeant} and ${some}) one
    order by word_similarity(words, ${text}) desc, ${next} limit wanted
  )`
  const pattern = sql`'%' || replace(replace(replace(words, '!', '!!'), '%', '!%'), '_', '!_') || '%'`
  const holds = sql`${text} like ${pattern} escape '!' order by id desc limit 300`
  await sql`create or replace function ${sql.raw(`near_${searched.table}s`)}(words text, wanted integer) returns setof uuid
    language plpgsql set pg_trgm.word_similarity_threshold = 0.35 set enable_seqscan = off set plan_cache_mode = auto as $$
    declare
      trigrams integer := cardinality(show_trgm(words));
      likeness numeric := trunc((trigrams - 3)::numeric / (trigrams + 3), 2);
      found uuid[] := ${holding ? nearest(holds) : sql`'{}'`};
    begin
      perform set_config('plan_cache_mode', 'force_generic_plan', true);
      while cardinality(found) < wanted loop
        perform set_config('pg_trgm.word_similarity_threshold', greatest(likeness, 0.35)::text, true);
        found := found || ${nearest(sql`words <% ${text} and id <> all(found) limit greatest(60, 3 * wanted)`)};
        exit when likeness <= 0.35;
        likeness := 0.85 * likeness;
      end loop;
      return query select unnest(found);
    end $$`.execute(db)
}
