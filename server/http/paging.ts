import { type SelectQueryBuilder, sql } from 'kysely'
import { z } from 'zod'
import { invalid } from './problem.ts'

/** So many are on a page of a list where nobody says how many. */
export const usualLimit = 30

/** `?limit=` and `?after=` of every list. */
export const pageQuery = {
  limit: z.coerce.number().int().min(1).max(100).default(usualLimit),
  after: z.string().max(500).optional(),
}

/** A list as it is answered. */
export const pageOf = <T extends z.ZodType>(item: T) => z.object({ items: z.array(item), next: z.string().nullable() })

/** What is asked of every list. */
export interface Asked {
  limit: number
  after?: string | undefined
}

export interface Page<T> {
  items: T[]
  next: string | null
}

/** The sort key of the last row, as an opaque text. */
export const cursorOf = (keys: unknown[]) => Buffer.from(JSON.stringify(keys)).toString('base64url')

/**
 * The sort key in a cursor, checked against the shape that the list gave out.
 *
 * @throws Problem 422 when it is none of ours
 */
export function readCursor<T extends z.ZodType>(after: string | undefined, shape: T): z.infer<T> | undefined {
  if (after === undefined) return undefined
  try {
    const keys = shape.parse(JSON.parse(Buffer.from(after, 'base64url').toString()))
    // No text of ours has a NUL in it; PostgreSQL refuses it.
    if ([keys].flat().some((key) => String(key).includes('\0'))) throw new RangeError('NUL')
    return keys
  } catch {
    throw invalid('/after', 'This cursor is not from this list.')
  }
}

/**
 * Cuts the one row too many that tells whether there is a next page. Ask the database for `limit + 1`.
 *
 * @param keys the columns that the list is sorted by
 */
export function cutPage<Row>(rows: Row[], limit: number, ...keys: (keyof Row)[]): Page<Row> {
  const items = rows.slice(0, limit)
  const last = items.at(-1)
  return { items, next: rows.length > limit && last ? cursorOf(keys.map((key) => last[key])) : null }
}

/** A page with each of its rows as it is shown. */
export const shownPage = <Row, Shown>({ items, next }: Page<Row>, show: (row: Row) => Shown): Page<Shown> => ({
  items: items.map((row) => show(row)),
  next,
})

/**
 * A page of rows in the order of their ids, which is that in which they were added.
 *
 * @param column the id, which the query selects
 */
export async function pageById<Tables, From extends keyof Tables, Row>(
  query: SelectQueryBuilder<Tables, From, Row>,
  column: string,
  order: 'asc' | 'desc',
  { limit, after }: Asked,
): Promise<Page<Row>> {
  const [last] = readCursor(after, z.tuple([z.uuid()])) ?? []
  const id = sql.ref<string>(column)
  const rows = await query
    .$if(last !== undefined, (some) => some.where(id, order === 'asc' ? '>' : '<', last ?? ''))
    .orderBy(id, order)
    .limit(limit + 1)
    .execute()
  return cutPage(rows as Row[], limit, column.split('.').at(-1) as keyof Row)
}

/** A page of rows by their names, in any case and without accents. @param table that has the names, and ids */
export async function pageByName<Tables, From extends keyof Tables, Row extends { id: string }>(
  query: SelectQueryBuilder<Tables, From, Row>,
  table: string,
  { limit, after }: Asked,
): Promise<Page<Row>> {
  const [name, id] = readCursor(after, z.tuple([z.string(), z.uuid()])) ?? []
  const plain = sql<string>`plain(${sql.ref(`${table}.name`)})`
  const own = sql.ref(`${table}.id`)
  const rows = await query
    .select(plain.as('plainName'))
    .$if(id !== undefined, (some) => some.where(sql<boolean>`(${plain}, ${own}) > (${name}, ${id})`))
    .orderBy(plain)
    .orderBy(own)
    .limit(limit + 1)
    .execute()
  return shownPage(
    cutPage(rows as unknown as (Row & { plainName: string })[], limit, 'plainName', 'id'),
    withoutPlainName,
  )
}

const withoutPlainName = <Row>({ plainName: _, ...row }: Row & { plainName: string }) => row as Row
