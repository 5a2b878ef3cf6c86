import { sql } from 'kysely'
import unhomoglyph from 'unhomoglyph'
import type { Db } from '../../../../db/connect.ts'
import { invalid } from '../../../http/problem.ts'

/**
 * What a text looks like: texts of one skeleton are easily taken for each other.
 *
 * @see https://www.unicode.org/reports/tr39/#Confusable_Detection (the table comes with unhomoglyph)
 */
export function skeleton(text: string): string {
  const visible = text.normalize('NFD').replace(/\p{Default_Ignorable_Code_Point}/gu, '')
  return unhomoglyph(visible).normalize('NFD')
}

/** Whether two names are the same to whoever reads them quickly: in any case, and however wide the gaps are. */
export function lookAlike(one: string, other: string): boolean {
  const [first, second] = [one, other].map((name) => name.trim().replace(/\s+/gu, ' ')) as [string, string]
  // A capital I looks like a small l, which it no longer does as a small i: so both orders count.
  return (
    skeleton(first).toLowerCase() === skeleton(second).toLowerCase() ||
    skeleton(first.toLowerCase()) === skeleton(second.toLowerCase())
  )
}

/**
 * A member is told apart by nothing but the name, also one who has left: no other one may look like it.
 *
 * @param trx a transaction: until it ends, nobody else gets a name
 * @param own the member whose name it is to be, unless they are new
 * @throws Problem 422 at /name
 */
export async function expectNewName(trx: Db, name: string, own?: string): Promise<void> {
  await sql`select pg_advisory_xact_lock(hashtext('member name'))`.execute(trx)
  const others = await trx
    .selectFrom('member')
    .select('name')
    .$if(own !== undefined, (query) => query.where('id', '<>', own ?? ''))
    .execute()
  if (others.some((other) => lookAlike(other.name, name)))
    throw invalid(
      '/name',
      'Somebody here already has this name, or one that looks like it. Add something that tells you apart.',
    )
}
