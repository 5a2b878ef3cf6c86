import { type RawBuilder, sql } from 'kysely'

/** A column of rows that a query is handed: its name, the type in the database, a value for each row. */
export type GivenColumn = readonly [name: string, type: 'uuid' | 'text', values: readonly string[]]

/**
 * Lists side by side as the rows of a query, under a name. Lists tell the database how many rows there are, so that it
 * plans for just these. A single row, which is what a report usually brings, is written as such: its plan then fits any
 * other single row, and is kept (`often`).
 *
 * @param columns all of the same length
 */
export function givenRows(name: string, ...columns: readonly GivenColumn[]): RawBuilder<unknown> {
  if (columns[0]?.[2].length === 1) {
    const values = columns.map(([column, type, given]) => sql`${given[0]}::${sql.raw(type)} as ${sql.raw(column)}`)
    return sql`(select ${sql.join(values)}) as ${sql.raw(name)}`
  }
  const lists = columns.map(([, type, given]) => sql`${given}::${sql.raw(type)}[]`)
  const names = columns.map(([column]) => sql.raw(column))
  return sql`unnest(${sql.join(lists)}) as ${sql.raw(name)} (${sql.join(names)})`
}
