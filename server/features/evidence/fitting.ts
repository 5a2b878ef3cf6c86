import { type Selectable, sql } from 'kysely'
import { type Db, inTransaction } from '../../../db/connect.ts'
import type { Tables } from '../../../db/tables.ts'
import { fitPlace } from './fit-place.ts'
import type { FitSteps, FittedGroup } from './fit-work.ts'
import { notCounted } from './model.ts'
import { oneFitAtATime } from './one-fit.ts'
import { readPlates } from './reading.ts'
import { disagrees } from './rules.ts'
import { dropUnused, keepRows } from './storing.ts'

/** What a fit was like, and how long it took. */
export type Refit = Omit<FittedGroup, 'groupDraws'> & { ms: number }

export interface RefitOptions {
  /** gives it up between two steps; what counted so far goes on counting */
  signal?: AbortSignal
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
export async function refit(db: Db, options: RefitOptions = {}): Promise<Refit> {
  const { signal = new AbortController().signal, place = fitPlace } = options
  return oneFitAtATime(db, async () => {
    const started = performance.now()
    const { attempt, longer } = await begin(db)
    await dropUnused(db)
    const steps = place()
    try {
      const marks = await readPlates(db, steps, signal)
      const { groupDraws, ...figures } = await unlessAborted(steps.fit(longer), signal)
      for (let rows = await steps.next(); rows; rows = await steps.next()) {
        signal.throwIfAborted()
        await keepRows(db, attempt, rows)
      }
      signal.throwIfAborted()
      const done: Refit = { ...figures, ms: Math.round(performance.now() - started) }
      await inTransaction(db, (trx) => takeOver(trx, attempt, { ...done, groupDraws: Buffer.from(groupDraws) }, marks))
      return done
    } finally {
      await steps.end()
    }
  })
}

/** A large group takes minutes to sample: whoever is told to stop does not wait for that. */
function unlessAborted<Result>(work: Promise<Result>, signal: AbortSignal): Promise<Result> {
  signal.throwIfAborted()
  const { promise: aborted, reject } = Promise.withResolvers<never>()
  signal.addEventListener('abort', () => reject(signal.reason))
  return Promise.race([work, aborted])
}

/** The number of this fit, and whether its chains should run longer since those of the last one did not agree. */
async function begin(db: Db): Promise<{ attempt: number; longer: boolean }> {
  const { attempt, rhat } = await db
    .updateTable('scoringFit')
    .set({ attempt: sql<number>`attempt + 1` })
    .returning(['attempt', 'rhat'])
    .executeTakeFirstOrThrow()
  return { attempt, longer: disagrees(rhat) }
}

/** Marks are taken away so many at a time. */
const manyMarks = 10_000

/** From here on the fit's rows are those that count, and what it has read is no longer waiting. */
async function takeOver(trx: Db, attempt: number, fitted: Refit & { groupDraws: Buffer }, marks: readonly string[]) {
  const done = await trx
    .updateTable('scoringFit')
    .set({ fit: attempt, ...fitted })
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
export interface LastFit
  extends Pick<Selectable<Tables['scoringFit']>, 'fit' | 'fittedAt' | 'sweeps' | 'rhat' | 'effectiveSize' | 'plates'> {
  /** seconds since it ended; null before the first */
  sinceFitS: number | null
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
