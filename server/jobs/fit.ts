import type { Db } from '../../db/connect.ts'
import { isFitDue, lastFit, type Refit, refit } from '../features/evidence/queries.ts'
import { Problem } from '../http/problem.ts'

/** Works everything out anew if enough has come since the last time. @returns what was done, if anything */
export async function fitWhenDue(db: Db, signal: AbortSignal): Promise<Refit | undefined> {
  return isFitDue(await lastFit(db)) ? fitUnlessRunning(db, signal) : undefined
}

/** The same if anything has come at all, as every night. */
export async function fitWhenChanged(db: Db, signal: AbortSignal): Promise<Refit | undefined> {
  const { fittedAt, since } = await lastFit(db)
  return fittedAt === null || since > 0 ? fitUnlessRunning(db, signal) : undefined
}

/** Somebody may have pressed the button a moment ago. */
async function fitUnlessRunning(db: Db, signal: AbortSignal): Promise<Refit | undefined> {
  try {
    return await refit(db, { signal })
  } catch (error) {
    if (error instanceof Problem && error.status === 409) return undefined
    throw error
  }
}
