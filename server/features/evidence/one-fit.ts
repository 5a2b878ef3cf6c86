import { sql } from 'kysely'
import type { Db } from '../../../db/connect.ts'
import { conflict } from '../../http/problem.ts'

/** Number of the advisory lock that says: a full fit is running. Any constant does. */
const fitting = 7_283_502

const running = new WeakSet<Db>()

/**
 * Runs a full fit unless one is running already, in whichever process. The lock belongs to a connection that is kept
 * for it, so that it goes with a process that dies. The embedded database has one connection and one process: a mark does.
 *
 * @throws Problem 409 when one is running
 */
export async function oneFitAtATime<Result>(db: Db, work: () => Promise<Result>): Promise<Result> {
  if (!db.getExecutor().adapter.supportsMultipleConnections) {
    if (running.has(db)) throw atIt()
    running.add(db)
    return work().finally(() => running.delete(db))
  }
  return db.connection().execute(async (connection) => {
    const lock = await sql<{ mine: boolean }>`select pg_try_advisory_lock(${sql.lit(fitting)}) mine`.execute(connection)
    if (!lock.rows[0]?.mine) throw atIt()
    return work().finally(() => sql`select pg_advisory_unlock(${sql.lit(fitting)})`.execute(connection))
  })
}

const atIt = () => conflict('The estimates are being updated already. Look again in a moment.')
