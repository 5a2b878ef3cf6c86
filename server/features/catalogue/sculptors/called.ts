import { sql } from 'kysely'
import { v7 } from 'uuid'
import type { Db } from '../../../../db/connect.ts'
import { isSteward } from '../../../http/access.ts'
import { addRow, changeRow } from '../../../http/rows.ts'
import type { Viewer } from '../../../http/session.ts'
import type { NewFile } from '../files/schema.ts'

/*
 * The name of a sculptor who asked not to be named must not be found by trying names. Whoever types it gets an answer
 * like anybody who types a new one: a sculptor of this member's own, of the same name, which has its own id, files and
 * print record. For everybody else that one is unnamed as well. A steward who lets the sculptor be named again takes
 * those of one name together (`queries.ts`).
 */

/**
 * Finds the sculptor of this name, in any case and with or without accents, or makes them. The wish not to be named
 * counts at once, whoever passes it on; that somebody types "named" takes it back for nobody.
 *
 * @param trx a transaction: until it ends, nobody else looks for this name
 * @returns the sculptor's id
 */
export async function sculptorCalled(trx: Db, viewer: Viewer, typed: NewFile['sculptor']): Promise<string> {
  await lockNames(trx, [typed.name])
  const called = await trx
    .selectFrom('sculptor')
    .select(['id', 'credit', 'typedBy', 'typedAs'])
    .where(sql<boolean>`plain(name) = plain(${typed.name})`)
    .execute()
  const isHidden = called.some(({ credit }) => credit === 'unnamed')
  const own = called.find(({ typedBy }) => typedBy === viewer.id)
  const groups = called.find(({ typedBy }) => typedBy === null)
  if (isSteward(viewer)) {
    if (groups) return hide(trx, groups, typed.credit)
    return add(trx, typed.name, { credit: isHidden ? 'unnamed' : typed.credit })
  }
  if (own) return hide(trx, own, typed.credit, viewer)
  if (groups?.credit === 'named') return hide(trx, groups, typed.credit, viewer)
  if (typed.credit === 'named' && !isHidden) return add(trx, typed.name, { credit: 'named' })
  return add(trx, typed.name, { credit: 'unnamed', typedBy: viewer.id, typedAs: typed.credit })
}

/** Has whoever else looks for one of these names wait until the transaction ends. */
export async function lockNames(trx: Db, names: string[]): Promise<void> {
  const { rows } = await sql<{ key: number }>`
    select distinct hashtext(plain(name)) as key from unnest(${names}::text[]) as given (name) order by key`.execute(
    trx,
  )
  for (const { key } of rows)
    await sql`select pg_advisory_xact_lock(hashtext('sculptor'), ${key}::integer)`.execute(trx)
}

interface Row {
  credit: 'named' | 'unnamed'
  typedBy?: string | null
  typedAs?: 'named' | 'unnamed' | null
}

async function add(trx: Db, name: string, row: Row): Promise<string> {
  const id = v7()
  await addRow(trx, 'sculptor', { id, name, ...row })
  return id
}

/** Notes the wish not to be named, if it is new. @param by the member who passes it on, unless a steward */
async function hide(trx: Db, { id, ...before }: Row & { id: string }, typed: 'named' | 'unnamed', by?: Viewer) {
  const isNew = before.credit === 'named' || (by !== undefined && before.typedAs === 'named')
  if (typed === 'unnamed' && isNew)
    await changeRow(trx, 'sculptor', id, { credit: 'unnamed', ...(by && { typedBy: by.id, typedAs: 'unnamed' }) })
  return id
}
