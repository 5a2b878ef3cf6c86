import { sql } from 'kysely'
import type { Db } from '../../../db/connect.ts'
import { type Draws, drawsOf } from '../../scoring/draws.ts'

/** What a fit keeps. */
const tables = ['line_draws', 'sculptor_draws', 'period_draws', 'plate_wear', 'print_blame'] as const

/** Some rows of one of the tables, without the number of their fit, as JSON: a list of objects by column. */
export interface Rows {
  table: (typeof tables)[number]
  rows: string
}

/** Writes rows of a fit beside those that count. */
export async function keepRows(db: Db, attempt: number, { table, rows }: Rows): Promise<void> {
  const fit = sql`json_populate_record(null::${sql.table(table)}, json_build_object('fit', ${attempt}::integer))`
  await sql`insert into ${sql.table(table)} select * from json_populate_recordset(${fit}, ${rows}::json)`.execute(db)
}

/** Removes the rows of fits that were overtaken, or that ended before they could take over. */
export async function dropUnused(db: Db): Promise<void> {
  for (const table of tables) {
    await sql`delete from ${sql.table(table)} where fit <> (select fit from scoring_fit)`.execute(db)
  }
}

/** Numbers as the database keeps them. Both ends are little-endian machines, which all are that Node.js runs on. */
export function bytesOf(numbers: Uint16Array | Float32Array): Buffer {
  return Buffer.from(numbers.buffer, numbers.byteOffset, numbers.byteLength)
}

/** The draws of a node, as kept in 16 bits each. */
export const storedDraws = (bytes: Buffer): Draws => drawsOf(new Uint16Array(copyOf(bytes)))

export const storedReals = (bytes: Buffer): Float32Array => new Float32Array(copyOf(bytes))

/** A buffer may begin anywhere, numbers only at multiples of their size. */
const copyOf = (bytes: Buffer): ArrayBuffer => new Uint8Array(bytes).buffer
