import { type SelectQueryBuilder, sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'
import { isSteward } from '../../../http/access.ts'
import type { Viewer } from '../../../http/session.ts'
import { sculptorHosts, titleBy } from '../sculptors/columns.ts'
import { discreet, isAsTyped } from './rules.ts'

// The same likeness as for units (features/catalogue/units/queries.ts).
const likeness = 0.35

/**
 * Narrows to the files whose title, or whose sculptor, holds the words or comes near them, the nearest first: by what the
 * viewer may see of both, and by nothing else.
 *
 * @param query of `file` with its `sculptor`
 * @param isNarrow whether it is of a few files alone
 */
export async function nearFiles<Tables, Table extends keyof Tables, Out>(
  db: Db,
  viewer: Viewer,
  query: SelectQueryBuilder<Tables, Table, Out>,
  { words, limit, isNarrow }: { words: string; limit: number; isNarrow: boolean },
) {
  const masked = await maskedTexts(db, viewer)
  const whole = sql`file.search || ' / ' || plain(sculptor.name)`
  const found = sql<string>`case when sculptor.credit = 'named' then file.search
    else coalesce(plain(${JSON.stringify(masked)}::jsonb ->> file.id::text), ${whole}) end`
  const nearness = sql<number>`word_similarity(plain(${words}), ${found})`
  const holds = sql<boolean>`strpos(${found}, plain(${words})) > 0`
  return query
    .$if(!isNarrow, (rows) => rows.where(isCandidate(words, limit)))
    .where((eb) => eb.or([eb(nearness, '>=', likeness), holds]))
    .orderBy(holds, 'desc')
    .orderBy(nearness, 'desc')
    .orderBy(sql`file.id`, 'desc')
    .limit(limit)
}

/**
 * By the index (migration 026); files of which some see less than there is are compared one by one. An array, so that these
 * are looked up, and their sculptors by them: PostgreSQL takes a thousand for likely, and would read all sculptors there are.
 */
const isCandidate = (words: string, limit: number) => sql<boolean>`file.id = any(array(
  select near_files(plain(${words}), ${limit}::integer)
  union all select hidden.id from file hidden join sculptor on sculptor.id = hidden.sculptor_id where credit = 'unnamed'
))`

/** By file's id: what can be looked for in files of which the viewer sees less than there is. */
async function maskedTexts(db: Db, viewer: Viewer): Promise<Record<string, string>> {
  if (isSteward(viewer)) return {}
  // The links are of each sculptor, not of each file: of some thousand files that matters.
  const sculptors = await db
    .selectFrom('sculptor')
    .select(['id', 'name as sculptorName', 'credit as sculptorCredit', 'typedBy as sculptorTypedBy'])
    .select(['typedAs as sculptorTypedAs', sculptorHosts.as('sculptorHosts')])
    .where('credit', '=', 'unnamed')
    .execute()
  if (sculptors.length === 0) return {}
  const hidden = new Map(sculptors.map((row) => [row.id, row]))
  const files = await db
    .selectFrom('file')
    .select(['id', 'title', 'sculptorId', titleBy.as('titleBy')])
    .where('sculptorId', 'in', [...hidden.keys()])
    .execute()
  return Object.fromEntries(
    files.flatMap(({ id, title, sculptorId, titleBy: by }) => {
      const sculptor = hidden.get(sculptorId)
      if (!sculptor) return []
      const seen = discreet(title, sculptor, viewer, by)
      return [[id, isAsTyped(sculptor, viewer) ? `${seen} / ${sculptor.sculptorName}` : seen]]
    }),
  )
}
