import { sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'
import type { Near } from './rules.ts'

/** Lets several typing errors through; what is too far is sorted out by its likeness. */
const wordLikeness = '0.45'
const mostNear = 5

/**
 * The units that some words may mean, for all of them in one query that uses the index on names.
 *
 * @returns by words, the best first; words that nothing comes near are missing
 */
export async function unitsNear(db: Db, words: readonly string[]): Promise<Map<string, Near[]>> {
  const distinct = [...new Set(words)]
  if (distinct.length === 0) return new Map()
  // What the operator <% goes by is set for this statement alone, before the first name is looked up: its rows come of
  // the lines, and those of the setting. Names are taken from the column that the index is on, where they are in plain
  // letters already.
  const { rows } = await sql<Near & { words: string }>`
    with setting as materialized (
      select set_config('pg_trgm.word_similarity_threshold', ${wordLikeness}, true)
    ), line as materialized (
      select words, plain(words) as plain_words from setting, unnest(${distinct}::text[]) as given (words)
    )
    select line.words, found.*
    from line
    cross join lateral (
      select unit.id, unit.name, unit.setting, unit.scale_mm, unit.models_per_unit, called.exact, called.likeness, called.within
      from unit
      cross join lateral (
        select bool_or(plain_name = plain_words) as exact, max(similarity(plain_name, plain_words)) as likeness,
          max(word_similarity(plain_words, plain_name)) as within
        from unnest(string_to_array(unit.search, ' / ')) as any_name (plain_name)
      ) called
      where plain_words <% unit.search
      order by called.exact desc, called.likeness desc, unit.name, unit.id
      limit ${mostNear}
    ) found`.execute(db)
  return Map.groupBy(rows, (row) => row.words)
}
