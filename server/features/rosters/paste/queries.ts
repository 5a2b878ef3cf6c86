import { sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'
import type { Near } from './rules.ts'

/** Lets several typing errors through; what is too far is sorted out by its likeness. */
const wordLikeness = '0.45'
const mostNear = 5
/** So many units are compared with a line, and those that it names exactly besides: where more come near, it says little. */
const mostCompared = 60
/** So many lines are compared at a time that do not name one unit exactly. */
const mostUnclear = 500
/** So many lines are looked up by one statement. */
const slice = 10

/**
 * The units that some words may mean, by the index on names. Comparing takes its time, which the embedded database takes
 * from everybody: of many lines that name no unit exactly only the first are compared, and a long list is looked up in
 * slices, between which others have their turn.
 *
 * @returns by words, the best first; of words that name one unit exactly, that one alone; words that nothing comes near are
 *   missing, and those that were not compared, as far as they name none
 */
export async function unitsNear(db: Db, words: readonly string[]): Promise<Map<string, Near[]>> {
  const distinct = [...new Set(words)]
  const found = new Map<string, Near[]>()
  let unclear = 0
  for (let at = 0; at < distinct.length; at += slice) {
    const lines = distinct.slice(at, at + slice)
    for (const [line, near] of await sliceNear(db, lines, mostUnclear - unclear)) found.set(line, near)
    unclear += lines.filter((line) => !namesOne(found.get(line))).length
  }
  return found
}

/** What was looked up already, by words; nothing where nothing comes near. */
export type LookedUp = ReadonlyMap<string, Near[]>

/** As `unitsNear`, where some of the words may have been looked up already. */
export async function unitsNearBeside(
  db: Db,
  words: readonly string[],
  known: LookedUp | undefined,
): Promise<LookedUp> {
  const missing = words.filter((line) => !known?.has(line))
  const found = await unitsNear(db, missing)
  return new Map([...(known ?? []), ...missing.map((line): [string, Near[]] => [line, found.get(line) ?? []])])
}

const namesOne = ([first, second]: readonly Near[] = []) => first?.exact === true && !second?.exact

/** @param most of the lines that are compared */
async function sliceNear(db: Db, words: readonly string[], most: number): Promise<Map<string, Near[]>> {
  // What the operator <% goes by is set for this statement alone, before the first name is looked up: its rows come of
  // the lines, and those of the setting. Names are taken from the column that the index is on, where they are in plain
  // letters already.
  const { rows } = await sql<Near & { words: string }>`
    with setting as materialized (
      select set_config('pg_trgm.word_similarity_threshold', ${wordLikeness}, true)
    ), line as materialized (
      select words, plain(words) as plain_words, regexp_replace(plain(words), '([\\\\%_])', '\\\\\\1', 'g') as pattern, place
      from setting, unnest(${words}::text[]) with ordinality as given (words, place)
    ), named as materialized (
      select place, unit.id
      from line
      cross join lateral (
        select id from unit where unit.search like '%' || pattern || '%'
          and ' / ' || unit.search || ' / ' like '% / ' || pattern || ' / %' limit ${mostCompared}
      ) unit
    ), unclear as materialized (
      select place, plain_words from line
      where (select count(*) from named where named.place = line.place) <> 1
      order by place limit ${Math.max(0, most)}
    ), compared as materialized (
      select place, id from named
      union
      select place, unit.id
      from unclear
      cross join lateral (select id from unit where plain_words <% unit.search limit ${mostCompared}) unit
    )
    select line.words, found.id, found.name, found.setting, found.scale_mm, found.models_per_unit, found.exact,
      found.likeness, stands.within
    from line
    cross join lateral (
      select unit.*, called.exact, called.likeness
      from compared
      join unit on unit.id = compared.id
      cross join lateral (
        select bool_or(plain_name = plain_words) as exact, max(similarity(plain_name, plain_words)) as likeness
        from unnest(string_to_array(unit.search, ' / ')) as any_name (plain_name)
      ) called
      where compared.place = line.place
      order by called.exact desc, called.likeness desc, unit.name, unit.id
      limit ${mostNear}
    ) found
    cross join lateral (
      select max(word_similarity(plain_words, plain_name)) as within
      from unnest(string_to_array(found.search, ' / ')) as any_name (plain_name)
    ) stands
    order by place, found.exact desc, found.likeness desc, found.name, found.id`.execute(db)
  return Map.groupBy(rows, (row) => row.words)
}
