import { setTimeout as sleep } from 'node:timers/promises'
import type { Db } from '../../db/connect.ts'
import { type LastFit, lastFit, type Refit, refit } from '../features/evidence/queries.ts'
import { Problem } from '../http/problem.ts'

/** Seconds that are waited after a mark for the next one, and for how many at most. (Common practice, no source.) */
const quietS = 2
const longestWaitS = 20
/** Seconds between two fits, by the plates that a fit takes in. */
const pauses = [
  { plates: 30_000, seconds: 3600 },
  { plates: 3000, seconds: 60 },
]

type Waiting = Pick<LastFit, 'plates' | 'sinceFitS' | 'newestMarkS' | 'oldestMarkS'>

/** Whether the group should be fitted anew now: soon after something has changed, large groups not all the time. */
export function isFitDue({ plates, sinceFitS, newestMarkS, oldestMarkS }: Waiting): boolean {
  if (newestMarkS === null || oldestMarkS === null) return false
  const pause = pauses.find((large) => plates >= large.plates)?.seconds ?? 0
  if (sinceFitS !== null && sinceFitS < pause) return false
  return newestMarkS >= quietS || oldestMarkS >= longestWaitS
}

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
