import { sql } from 'kysely'
import { type Db, inTransaction } from '../../../db/connect.ts'
import { fitPlace } from './fit-place.ts'
import type { FitSteps, FittedGroup } from './fit-work.ts'
import { notCounted } from './model.ts'
import { oneFitAtATime } from './one-fit.ts'
import { readPlates } from './reading.ts'
import { worstRhat } from './rules.ts'
import { dropUnused, keepRows } from './storing.ts'

export interface Refit extends Omit<FittedGroup, 'groupDraws'> {
  ms: number
}

export interface RefitOptions {
  /** gives it up between two steps; what counted so far goes on counting */
  signal?: AbortSignal | undefined
  /** where it is computed */
  place?: () => FitSteps
}

/**
 * Works everything out anew from the plates alone, so that the same plates always give the same figures.
 *
 * Nobody waits for it. It reads, computes and writes rows of its own beside those that count, and takes over by one
 * update. Whatever ends it before that changes nothing. Rows of the fit before stay until the next one begins, for those
 * who are just reading them.
 *
 * @throws Problem 409 when another one is running
 */
export async function refit(db: Db, { signal, place = fitPlace }: RefitOptions = {}): Promise<Refit> {
  return oneFitAtATime(db, async () => {
    const started = performance.now()
    const { attempt, longer } = await begin(db)
    await dropUnused(db)
    const steps = place()
    try {
      const marks = await readPlates(db, steps, signal)
      const fitted = await unlessAborted(steps.fit(longer), signal)
      for (let rows = await steps.next(); rows; rows = await steps.next()) {
        signal?.throwIfAborted()
        await keepRows(db, attempt, rows)
      }
      signal?.throwIfAborted()
      const ms = Math.round(performance.now() - started)
      await inTransaction(db, (trx) => takeOver(trx, attempt, { ...fitted, ms }, marks))
      const { groupDraws: _, ...done } = fitted
      return { ...done, ms }
    } finally {
      await steps.end()
    }
  })
}

/** A large group takes minutes to sample: whoever is told to stop does not wait for that. */
async function unlessAborted<Result>(work: Promise<Result>, signal: AbortSignal | undefined): Promise<Result> {
  if (!signal) return work
  signal.throwIfAborted()
  const { promise: aborted, reject } = Promise.withResolvers<never>()
  const abort = () => reject(signal.reason)
  signal.addEventListener('abort', abort)
  try {
    return await Promise.race([work, aborted])
  } finally {
    signal.removeEventListener('abort', abort)
  }
}

/** The number of this fit, and whether its chains should run longer since those of the last one did not agree. */
async function begin(db: Db): Promise<{ attempt: number; longer: boolean }> {
  const { attempt, rhat } = await db
    .updateTable('scoringFit')
    .set({ attempt: sql<number>`attempt + 1` })
    .returning(['attempt', 'rhat'])
    .executeTakeFirstOrThrow()
  return { attempt, longer: (rhat ?? 0) > worstRhat }
}

/** Marks are taken away so many at a time. */
const manyMarks = 10_000

/** From here on the fit's rows are those that count, and what it has read is no longer waiting. */
async function takeOver(trx: Db, attempt: number, fitted: FittedGroup & { ms: number }, marks: readonly string[]) {
  const { groupDraws, ...numbers } = fitted
  const done = await trx
    .updateTable('scoringFit')
    .set({ fit: attempt, groupDraws: Buffer.from(groupDraws), ...numbers })
    // The database's clock; `now()` would be the time when the transaction began.
    .set({ fittedAt: sql<Date>`clock_timestamp()` })
    .where('attempt', '=', attempt)
    .executeTakeFirst()
  if (done.numUpdatedRows === 0n) throw new Error(`fit ${attempt} was overtaken by another`)
  for (let from = 0; from < marks.length; from += manyMarks) {
    const some = marks.slice(from, from + manyMarks)
    await trx.deleteFrom('fitMark').where('id', '=', sql<string>`any(${some}::uuid[])`).execute()
  }
}

/** What the last fit was like, and what has been waiting for the next one since. */
export interface LastFit {
  fit: number
  fittedAt: Date | null
  /** seconds since then; null before the first */
  sinceFitS: number | null
  /** plates that it knew */
  plates: number
  sweeps: number
  rhat: number | null
  effectiveSize: number | null
  notCounted: number
  /** seconds since the newest and the oldest mark; null without any */
  newestMarkS: number | null
  oldestMarkS: number | null
}

export async function lastFit(db: Db): Promise<LastFit> {
  const { rows } = await sql<LastFit>`
    select fit, fitted_at, sweeps, rhat, effective_size, plates, ${notCounted} as not_counted,
      extract(epoch from clock_timestamp() - fitted_at)::float8 as since_fit_s, waiting.newest_mark_s, waiting.oldest_mark_s
    from scoring_fit cross join (
      select extract(epoch from clock_timestamp() - max(created_at))::float8 as newest_mark_s,
        extract(epoch from clock_timestamp() - min(created_at))::float8 as oldest_mark_s
      from fit_mark
    ) waiting`.execute(db)
  if (!rows[0]) throw new Error('the row of the scoring is missing')
  return rows[0]
}

/** How fresh the figures are, for the pages. */
export async function freshness(db: Db) {
  const { sinceFitS, plates, notCounted } = await lastFit(db)
  return { minutesAgo: sinceFitS === null ? null : Math.max(0, sinceFitS / 60), plates, notCounted }
}
