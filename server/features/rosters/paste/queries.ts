import { setImmediate as letOthers } from 'node:timers/promises'
import { sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'
import type { Near } from './rules.ts'

/** Lets several typing errors through; what is too far is sorted out by its likeness. */
const wordLikeness = '0.45'
const mostNear = 5
/** So many units are compared with a line, and those that it names exactly besides: where more come near, it says little. */
const mostCompared = 60
/** So many lines are looked up by one statement. */
const slice = 20

/**
 * The units that some words may mean, by the index on names.
 *
 * A long list is looked up in slices, between which others have their turn: comparing takes its time, which the embedded
 * database takes from everybody.
 *
 * @returns by words, the best first; words that nothing comes near are missing
 */
export async function unitsNear(db: Db, words: readonly string[]): Promise<Map<string, Near[]>> {
  const distinct = [...new Set(words)]
  const found = new Map<string, Near[]>()
  for (let at = 0; at < distinct.length; at += slice) {
    if (at > 0) await letOthers()
    for (const [line, near] of await sliceNear(db, distinct.slice(at, at + slice))) found.set(line, near)
  }
  return found
}

async function sliceNear(db: Db, words: readonly string[]): Promise<Map<string, Near[]>> {
  // What the operator <% goes by is set for this statement alone, before the first name is looked up: its rows come of
  // the lines, and those of the setting. Names are taken from the column that the index is on, where they are in plain
  // letters already.
  const { rows } = await sql<Near & { words: string }>`
    with setting as materialized (
      select set_config('pg_trgm.word_similarity_threshold', ${wordLikeness}, true)
    ), line as materialized (
      select words, plain(words) as plain_words, regexp_replace(plain(words), '([\\\\%_])', '\\\\\\1', 'g') as pattern
      from setting, unnest(${words}::text[]) as given (words)
    )
    select line.words, found.*
    from line
    cross join lateral (
      select unit.id, unit.name, unit.setting, unit.scale_mm, unit.models_per_unit, called.exact, called.likeness, called.within
      from (
        (
          select id from unit where unit.search like '%' || pattern || '%'
            and ' / ' || unit.search || ' / ' like '% / ' || pattern || ' / %' limit ${mostCompared}
        ) union (
          select id from unit where plain_words <% unit.search limit ${mostCompared}
        )
      ) compared
      join unit on unit.id = compared.id
      cross join lateral (
        select bool_or(plain_name = plain_words) as exact, max(similarity(plain_name, plain_words)) as likeness,
          max(word_similarity(plain_words, plain_name)) as within
        from unnest(string_to_array(unit.search, ' / ')) as any_name (plain_name)
      ) called
      order by called.exact desc, called.likeness desc, unit.name, unit.id
      limit ${mostNear}
    ) found`.execute(db)
  return Map.groupBy(rows, (row) => row.words)
}
