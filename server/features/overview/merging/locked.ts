import type { Db } from '../../../../db/connect.ts'
import { invalid, notFound } from '../../../http/problem.ts'

type Kind = 'unit' | 'file' | 'sculptor'

/** What goes, and what stays. */
export interface Pair {
  from: string
  into: string
}

/**
 * Locks what goes and what stays, always in the same order.
 *
 * @throws Problem 404 unless what goes is there, 422 unless what stays is there and another
 */
export async function lockBoth(trx: Db, kind: Kind, { from, into }: Pair): Promise<void> {
  if (from === into) throw invalid('/into', 'That is the same one. Choose another.')
  const rows = await trx
    .selectFrom(kind)
    .select('id')
    .where('id', 'in', [from, into])
    .orderBy('id')
    .forUpdate()
    .execute()
  const ids = rows.map(({ id }) => id)
  if (!ids.includes(from)) throw notFound(kind)
  if (!ids.includes(into)) throw invalid('/into', `There is no such ${kind}.`)
}

/** Takes the plans away that name something which is no more; their rosters are planned anew in a moment. */
export async function dropPlansNaming(trx: Db, ids: string[]): Promise<void> {
  for (const id of ids)
    await trx
      .deleteFrom('rosterPlan')
      .where((eb) => eb.cast<string>('instance', 'text'), 'like', `%${id}%`)
      .execute()
}
