import { sql } from 'kysely'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { longestSide } from '../../../http/face.ts'
import type { Encoded } from './encode.ts'
import { looseHours } from './rules.ts'
import { type PictureStore, storedName } from './store.ts'

/** Where pictures are: their rows, and their bytes. */
export interface Kept {
  db: Db
  store: PictureStore
}

/** What a size of a picture is called in the store. */
export const nameOf = (hash: string, size: keyof typeof longestSide) => `${hash}-${longestSide[size]}`

/** Nobody else writes a row of this content, or takes its bytes away, until the transaction ends. */
const lockBytes = (trx: Db, hash: string) =>
  sql`select pg_advisory_xact_lock(hashtext('picture'), hashtext(${hash}))`.execute(trx)

/**
 * Keeps the bytes of a picture, then its row. Between the two a crash leaves bytes without a row, which the sweep takes.
 *
 * @param write the row
 */
export async function keepBytes<Result>(
  db: Db,
  store: PictureStore,
  { hash, large, small }: Encoded,
  write: (trx: Db) => Promise<Result>,
): Promise<Result> {
  const put = async () => {
    await store.put(nameOf(hash, 'large'), large)
    await store.put(nameOf(hash, 'small'), small)
  }
  await put()
  const done = await inTransaction(db, async (trx) => {
    await lockBytes(trx, hash)
    return write(trx)
  })
  // The last picture of the same content may have gone meanwhile, and these bytes with it.
  if (!(await store.get(nameOf(hash, 'small')))) await put()
  return done
}

/** Removes the bytes under this hash, unless a picture has them. */
async function dropUnused({ db, store }: Kept, hash: string): Promise<void> {
  await inTransaction(db, async (trx) => {
    await lockBytes(trx, hash)
    const used = await trx
      .selectFrom('picture')
      .select('id')
      .where((eb) => eb.or([eb('hash', '=', hash), eb('wholeHash', '=', hash)]))
      .limit(1)
      .executeTakeFirst()
    if (!used) for (const size of ['large', 'small'] as const) await store.remove(nameOf(hash, size))
    await trx.deleteFrom('pictureGone').where('hash', '=', hash).execute()
  })
}

/** Removes the bytes of pictures whose rows have gone. @returns how many contents were looked at */
export async function sweepGone(kept: Kept): Promise<number> {
  const gone = await kept.db.selectFrom('pictureGone').select('hash').limit(100).execute()
  for (const { hash } of gone) await dropUnused(kept, hash)
  return gone.length
}

const hourMs = 3_600_000

/**
 * Removes pictures whose form was never accepted, and bytes without a row, as a crash leaves them. What is younger than an
 * hour may still get its row.
 */
export async function sweepOrphans(kept: Kept, now: Date): Promise<void> {
  const { db, store } = kept
  await db
    .deleteFrom('picture')
    .where('fileId', 'is', null)
    .where('createdAt', '<', new Date(now.getTime() - looseHours * hourMs))
    .execute()
  while ((await sweepGone(kept)) > 0);
  const hashes = new Set<string>()
  for await (const { name, since } of store.list()) {
    if (since.getTime() > now.getTime() - hourMs) continue
    const [, hash] = storedName.exec(name) ?? []
    if (hash) hashes.add(hash)
    else await store.remove(name)
  }
  for (const hash of await withoutRow(db, [...hashes])) await dropUnused(kept, hash)
}

async function withoutRow(db: Db, hashes: string[]): Promise<string[]> {
  const { rows } = await sql<{ hash: string }>`select hash from unnest(${hashes}::text[]) stored (hash)
    where not exists (select from picture where picture.hash = stored.hash)
      and not exists (select from picture where whole_hash = stored.hash)`.execute(db)
  return rows.map(({ hash }) => hash)
}
