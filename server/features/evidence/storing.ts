import { type RawBuilder, sql } from 'kysely'
import type { Db } from '../../../db/connect.ts'

/** What a fit keeps: tables with the types of their columns. */
const kept = {
  line_draws: {
    file_id: 'uuid',
    kind: 'text',
    draws: 'bytea',
    mean: 'float8',
    low: 'float8',
    high: 'float8',
    copies: 'float8',
  },
  sculptor_draws: { sculptor_id: 'uuid', kind: 'text', draws: 'bytea' },
  period_draws: { period_id: 'uuid', draws: 'bytea', worn: 'float8' },
  plate_wear: { plate_id: 'uuid', worn: 'float8' },
  print_blame: { print_id: 'uuid', file: 'float8', machine: 'float8' },
} as const

/** Some rows of one of the tables, by column and all columns alike long; bytes are in hexadecimal. */
export interface Rows {
  table: keyof typeof kept
  columns: Record<string, readonly (string | number)[]>
}

/** Writes rows of a fit beside those that count. */
export async function keepRows(db: Db, attempt: number, { table, columns }: Rows): Promise<void> {
  const types: Record<string, string> = kept[table]
  const names = Object.keys(columns)
  const given = names.map((name) => typedList(types[name] ?? 'text', columns[name] ?? []))
  const values = names.map((name) => sql.raw(types[name] === 'bytea' ? `decode(${name}, 'hex')` : name))
  await sql`insert into ${sql.raw(table)} (${sql.raw(names.join(', '))}, fit)
    select ${sql.join(values)}, ${attempt}::integer
    from unnest(${sql.join(given)}) given (${sql.raw(names.join(', '))})`.execute(db)
}

const typedList = (type: string, values: readonly (string | number)[]): RawBuilder<unknown> =>
  sql`${values}::${sql.raw(type === 'bytea' ? 'text' : type)}[]`

/** Removes the rows of fits that were overtaken, or that ended before they could take over. */
export async function dropUnused(db: Db): Promise<void> {
  for (const table of Object.keys(kept)) {
    await sql`delete from ${sql.raw(table)} where fit <> (select fit from scoring_fit)`.execute(db)
  }
}
