import { type Expression, type Insertable, type Kysely, type Selectable, sql, type Updateable } from 'kysely'
import type { Db } from '../../db/connect.ts'
import type { Tables } from '../../db/tables.ts'
import { notFound, type Problem } from './problem.ts'
import { stale } from './version.ts'

/*
 * One row by its id, as most changes need it. Whatever is more than that is a query of its own.
 */

/** The tables whose rows have this column. */
type Having<Column extends string> = {
  [Table in keyof Tables]: Column extends keyof Tables[Table] ? Table : never
}[keyof Tables]

type Row<Table extends keyof Tables> = Selectable<Tables[Table]>

/** New values of columns, or what makes them of the row. */
type Change<Table extends keyof Tables> = {
  [Column in keyof Updateable<Tables[Table]>]:
    | Updateable<Tables[Table]>[Column]
    | Expression<Updateable<Tables[Table]>[Column]>
}

/** What these tables have in common: Kysely can't tell it of one that is any of them. */
const anyTable = (db: Db) => db as unknown as Kysely<{ any: { id: string; version: number } }>

const select = (db: Db, table: string, id: string, columns: readonly string[]) =>
  anyTable(db)
    .selectFrom(table as 'any')
    .select(columns as 'id'[])
    .where('id', '=', id)

/** These columns of a row. @throws Problem 404 where there is none, unless it is another one */
export async function rowOf<Table extends Having<'id'>, Column extends keyof Row<Table> & string>(
  db: Db,
  table: Table,
  id: string,
  columns: readonly Column[],
  missing: () => Problem = () => notFound(table),
): Promise<Pick<Row<Table>, Column>> {
  const row: unknown = await select(db, table, id, columns).executeTakeFirstOrThrow(missing)
  return row as Pick<Row<Table>, Column>
}

/** The same, held against others' changes until the transaction ends. @throws Problem 404 */
export async function heldRow<Table extends Having<'id'>, Column extends keyof Row<Table> & string>(
  trx: Db,
  table: Table,
  id: string,
  columns: readonly Column[],
): Promise<Pick<Row<Table>, Column>> {
  const row: unknown = await select(trx, table, id, columns)
    .forUpdate()
    .executeTakeFirstOrThrow(() => notFound(table))
  return row as Pick<Row<Table>, Column>
}

/** Adds a row, or several. */
export async function addRow<Table extends keyof Tables>(
  db: Db,
  table: Table,
  row: Insertable<Tables[Table]> | Insertable<Tables[Table]>[],
): Promise<void> {
  await anyTable(db)
    .insertInto(table as 'any')
    .values(row as never)
    .execute()
}

/**
 * Changes a row, which is its next version.
 *
 * @param meant the version that it must still have, if that matters
 * @throws Problem 412 where it has another by now, or is gone
 */
export async function changeRow<Table extends Having<'version'> & Having<'id'>>(
  db: Db,
  table: Table,
  id: string,
  change: Change<Table>,
  meant?: number,
): Promise<void> {
  const done = await anyTable(db)
    .updateTable(table as 'any')
    .set({ ...(change as object), version: sql<number>`version + 1` })
    .where('id', '=', id)
    .$if(meant !== undefined, (query) => query.where('version', '=', meant ?? 0))
    .executeTakeFirst()
  if (done.numUpdatedRows === 0n) throw stale()
}
