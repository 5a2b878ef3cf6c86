import { sql } from 'kysely'
import type { OpenDatabase } from '../../db/connect.ts'
import { sweepOrphans } from '../features/printing/pictures/keeping.ts'
import type { PictureStore } from '../features/printing/pictures/store.ts'
import { forgetOldTries } from '../http/attempts.ts'
import { openSessions } from '../http/session.ts'

const daysAgo = (now: Date, days: number) => new Date(now.getTime() - days * 86_400_000)

/** How long what a POST answered is kept for its repetition, and an invitation that lets nobody in any more. */
export const keptDays = 7

/** Removes what nobody asks for any more: answers kept for repetition, ended sessions, old tries, dead links, lost pictures. */
export async function tidy({ db, kind }: OpenDatabase, pictures: PictureStore, now: Date): Promise<void> {
  const before = daysAgo(now, keptDays)
  await db.deleteFrom('answeredPost').where('createdAt', '<', before).execute()
  await openSessions(db).deleteExpiredSessions()
  await forgetOldTries(db, now)
  await db.deleteFrom('invitation').where('expiresAt', '<', before).execute()
  await sweepOrphans({ db, store: pictures }, now)
  await db.deleteFrom('wayBack').where('expiresAt', '<', now).execute()
  await sql`update file set search = file_search(title, sculptor_id)
    where search <> file_search(title, sculptor_id)`.execute(db)
  // PostgreSQL looks after its tables by itself; the embedded database never does.
  if (kind === 'embedded') await sql`vacuum analyze`.execute(db)
}
