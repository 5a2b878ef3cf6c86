import { statfs } from 'node:fs/promises'
import { setTimeout as sleep } from 'node:timers/promises'
import type { PGlite } from '@electric-sql/pglite'
import { type Kysely, sql } from 'kysely'

/** The database writes its log in pieces of 16 MB; without room for one more it stops in the middle of something. */
const leastRoom = 16 * 1024 * 1024

/** @throws Error with the code ENOSPC, as a write would, where the disk of a folder has less room than that */
export async function expectRoom(folder: string, least = leastRoom): Promise<void> {
  const { bavail, bsize } = await statfs(folder)
  if (bavail * bsize < least) throw Object.assign(new Error(`${folder} is on a full disk`), { code: 'ENOSPC' })
}

/** Long enough for an idle database, and nobody who watches the service is kept waiting by it. */
const patienceMs = 100

/**
 * Whether the embedded database answers and has room. It has one connection: while somebody is busy with that, it is
 * there, and nobody waits in the queue for it.
 *
 * @param folder undefined where it keeps nothing
 * @returns to be asked, and throws what a query would
 */
export function embeddedReadiness(pglite: PGlite, folder: string | undefined): () => Promise<void> {
  let asked: Promise<unknown> | undefined
  return async () => {
    if (folder !== undefined) await expectRoom(folder)
    asked ??= pglite.query('select 1').finally(() => {
      asked = undefined
    })
    await Promise.race([asked, sleep(patienceMs)])
  }
}

/**
 * Whether PostgreSQL answers and its disk has room, of which it tells only whoever writes: a sort that does not fit into
 * memory goes by way of a file, and leaves nothing behind.
 *
 * @throws what a query would
 */
export const serverReadiness =
  <Tables>(db: Kysely<Tables>) =>
  () =>
    db.transaction().execute(async (trx) => {
      await sql`set local work_mem = '64kB'`.execute(trx)
      await sql`select count(*) from (select i from generate_series(1, 20000) i order by i desc) sorted`.execute(trx)
    })
