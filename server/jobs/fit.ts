import { setTimeout as sleep } from 'node:timers/promises'
import type { Db } from '../../db/connect.ts'
import { isFitDue, lastFit, type Refit, refit } from '../features/evidence/queries.ts'
import { Problem } from '../http/problem.ts'

/** Works everything out anew where something has changed. @returns what was done, if anything */
export async function fitWhenDue(db: Db, signal: AbortSignal): Promise<Refit | undefined> {
  if (!isFitDue(await lastFit(db))) return undefined
  try {
    return await refit(db, { signal })
  } catch (error) {
    // Somebody may have pressed the button a moment ago.
    if (error instanceof Problem && error.status === 409) return undefined
    throw error
  }
}

const everyMs = 1000

/**
 * Looks again and again whether a fit is due, until it is told to stop: writers leave marks and tell nobody, so that a
 * report waits for nothing. The question is one statement on two tables of hardly any rows.
 *
 * @param due what to do then
 */
export async function watchForFit(db: Db, signal: AbortSignal, due: () => Promise<void>): Promise<void> {
  while (!signal.aborted) {
    try {
      if (isFitDue(await lastFit(db))) await due()
    } catch {
      // The database may be away for a while; whoever needs it says so.
    }
    await sleep(everyMs, undefined, { signal, ref: false }).catch(() => {})
  }
}
