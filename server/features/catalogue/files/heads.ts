import type { Db } from '../../../../db/connect.ts'
import { notFound, Problem } from '../../../http/problem.ts'
import { sculptorColumns } from './rules.ts'

const heads = (db: Db) =>
  db
    .selectFrom('file')
    .innerJoin('sculptor', 'sculptor.id', 'file.sculptorId')
    .select(['file.id', 'file.title', 'file.createdBy', 'file.version', ...sculptorColumns])

/** What everything that hangs on a file needs to know of it: that it exists, whose it is, who made it. */
export async function fileHead(db: Db, id: string) {
  const row = await heads(db).where('file.id', '=', id).executeTakeFirst()
  if (!row) throw notFound('file')
  return row
}

/** The same of several files; of those that exist. */
export async function fileHeads(db: Db, ids: readonly string[]): Promise<FileHead[]> {
  return ids.length === 0 ? [] : heads(db).where('file.id', 'in', ids).execute()
}

export type FileHead = Awaited<ReturnType<typeof fileHead>>

/** @param path JSON pointer of the list of ids @throws Problem 422 naming each one that is no such row */
export async function expectKnown(db: Db, table: 'file' | 'unit', ids: string[], path: string): Promise<void> {
  if (ids.length === 0) return
  const rows = await db.selectFrom(table).select('id').where('id', 'in', ids).execute()
  const known = new Set(rows.map((row) => row.id))
  const errors = ids.flatMap((id, index) =>
    known.has(id) ? [] : [{ path: `${path}/${index}`, message: `There is no such ${table}.` }],
  )
  if (errors.length > 0) throw new Problem(422, errors[0]?.message ?? '', { errors })
}
