import { sql } from 'kysely'
import { type Db, inTransaction } from '../../../db/connect.ts'
import { crowdings } from '../../scoring/priors.ts'
import { balanceSharesOf } from './balancing.ts'
import { changedSince, worthBefore } from './changed-reports.ts'
import { type Collected, collect } from './collecting.ts'
import { fitPlace } from './fit-place.ts'
import type { FitSteps, FittedGroup } from './fit-work.ts'
import { haltLearning } from './joining.ts'
import { takeBackAndLearn } from './learning.ts'
import { oneFitAtATime } from './one-fit.ts'
import type { ReportEvidence } from './report-evidence.ts'
import { evidenceOf } from './reports.ts'
import type { LineOfSculptor } from './rules.ts'
import { keepShares } from './shares.ts'
import { keepStandings } from './standings.ts'
import { keepFileWeights, keepMessages, keepPeriods, keepSuccesses } from './storing.ts'

export interface Refit {
  sweeps: number
  /** the fit was stopped at its most sweeps, not because nothing moved any more */
  capped: boolean
  ms: number
  reports: number
}

export interface RefitOptions {
  /** gives it up between two steps; what counted so far goes on counting */
  signal?: AbortSignal | undefined
  /** where it is computed */
  place?: (reports: number) => FitSteps | Promise<FitSteps>
}

/**
 * Works everything out anew from the reports alone: what was learnt before plays no part, so the same reports always
 * give the same figures.
 *
 * Nobody waits for it. It reads, computes and writes rows of its own beside those that count. Only then it keeps others
 * from learning for a moment: it learns what came, changed or went meanwhile on top of its own rows, and takes over, in
 * one transaction. Whatever ends it before that changes nothing.
 *
 * @throws Problem 409 when another one is running
 */
export async function refit(db: Db, { signal, place = fitPlace }: RefitOptions = {}): Promise<Refit> {
  return oneFitAtATime(db, async () => {
    const started = performance.now()
    const attempt = await begin(db)
    await dropUnused(db)
    const steps = await place(await reportsNow(db))
    try {
      const collected = await collect(db, attempt, steps, signal)
      const fitted = await unlessAborted(steps.fit(), signal)
      await keepAside(db, attempt, steps, signal)
      await keepStandings(db, attempt, fitted.standings)
      await keepShares(db, fitted.shares, attempt)
      await inTransaction(db, (trx) => takeOver(trx, attempt, fitted, collected))
      await dropUnused(db)
      const ms = Math.round(performance.now() - started)
      return { sweeps: fitted.sweeps, capped: fitted.capped, ms, reports: collected.reports }
    } finally {
      await steps.end()
    }
  })
}

/** A large group takes a minute to sample: whoever is told to stop does not wait for that. */
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

/** When the last fit was, what it knew, and how many reports came, changed or went since; before the first, all did. */
export async function lastFit(db: Db) {
  return db
    .selectFrom('scoringFit')
    .select(['fittedAt', 'sweeps', 'capped', 'reports'])
    .select((eb) =>
      eb
        .selectFrom('reportChange')
        .select((count) => count.fn.count<number>('reportId').distinct().as('since'))
        .whereRef('attempt', '>=', 'scoringFit.fit')
        .$asScalar()
        .$notNull()
        .as('since'),
    )
    .executeTakeFirstOrThrow()
}

/** The same in minutes from now, for the pages. */
export async function freshness(db: Db) {
  const { fittedAt, reports, since } = await lastFit(db)
  const minutesAgo = fittedAt && Math.max(0, (Date.now() - fittedAt.getTime()) / 60_000)
  return { minutesAgo, reports, since }
}

/** From now on, whatever becomes of a report is noted for this fit. Waits for what is being learnt. @returns its number */
function begin(db: Db): Promise<number> {
  return inTransaction(db, async (trx) => {
    await haltLearning(trx)
    const { attempt } = await trx
      .updateTable('scoringFit')
      .set({ attempt: sql<number>`attempt + 1` })
      .returning('attempt')
      .executeTakeFirstOrThrow()
    return attempt
  })
}

const ownTables = [
  ...(['printSuccess', 'periodSuccess', 'plateSuccess', 'failureMessage'] as const),
  ...(['memberShare', 'memberStanding'] as const),
]

/** Rows of fits that were overtaken, or that ended before they could take over. */
async function dropUnused(db: Db): Promise<void> {
  for (const table of ownTables) {
    await db
      .deleteFrom(table)
      .where('fit', '<>', (eb) => eb.selectFrom('scoringFit').select('scoringFit.fit'))
      .execute()
  }
}

async function reportsNow(db: Db): Promise<number> {
  const { reports } = await db
    .selectFrom('report')
    .select((eb) => eb.fn.countAll<number>().as('reports'))
    .executeTakeFirstOrThrow()
  return reports
}

/** Results are written so many at a time. */
const portion = 5000

/** Writes the fit's own rows: one for every line, printed or not, and one for every printer period and failure. */
async function keepAside(db: Db, attempt: number, steps: FitSteps, signal?: AbortSignal): Promise<void> {
  const lines = await everyLine(db)
  for (let start = 0; start < lines.length; start += portion) {
    signal?.throwIfAborted()
    await keepSuccesses(db, attempt, await steps.successesOf(lines.slice(start, start + portion)))
  }
  for (let rows = await steps.nextPeriods(portion); rows.length > 0; rows = await steps.nextPeriods(portion)) {
    signal?.throwIfAborted()
    await keepPeriods(db, attempt, rows)
  }
  for (let rows = await steps.nextMessages(portion); rows.length > 0; rows = await steps.nextMessages(portion)) {
    signal?.throwIfAborted()
    await keepMessages(db, attempt, rows)
  }
}

/** Every line there is, those of one sculptor together. */
function everyLine(db: Db): Promise<LineOfSculptor[]> {
  return db
    .selectFrom('supportSet')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .innerJoin('file', 'file.id', 'revision.fileId')
    .select(['file.sculptorId', 'supportSet.kind', 'file.id as fileId'])
    .distinct()
    .orderBy('file.sculptorId')
    .orderBy('supportSet.kind')
    .orderBy('file.id')
    .execute()
}

async function takeOver(trx: Db, attempt: number, fitted: FittedGroup, { reports, missed, mended }: Collected) {
  await haltLearning(trx)
  const changes = await changedSince(trx, attempt)
  const changed = new Set(changes.map(({ id }) => id))
  await keepFileWeights(
    trx,
    Array.from(mended, ([id, fileWeight]) => ({ id, fileWeight })).filter(({ id }) => !changed.has(id)),
  )
  await countFrom(trx, attempt, fitted, reports)
  const known = new Set(changes.filter(({ id, isNew }) => !isNew && !missed.has(id)).map(({ id }) => id))
  await learnMeanwhile(trx, attempt, { changed: [...changed], known, mended })
  await trx.deleteFrom('reportChange').where('attempt', '<', attempt).execute()
}

/** From here on the fit's rows are those that count. */
async function countFrom(trx: Db, attempt: number, { hyper, plates, sweeps, capped }: FittedGroup, reports: number) {
  const totals = crowdings.map((crowding) => ({ crowding, fit: attempt, ...plates[crowding] }))
  await trx.insertInto('plateSuccess').values(totals).execute()
  const { mu0, k0, k, am, bm } = hyper
  const done = await trx
    .updateTable('scoringFit')
    .set({ fit: attempt, mu0, k0, k, am, bm, sweeps, capped, reports })
    // The database's clock; `now()` would be the time before the locks.
    .set({ fittedAt: sql<Date>`clock_timestamp()` })
    .where('attempt', '=', attempt)
    .executeTakeFirst()
  if (done.numUpdatedRows === 0n) throw new Error(`fit ${attempt} was overtaken by another`)
}

/** So many reports are learnt in one go. */
const fewAtOnce = 10

/** Learns what came, changed or went while the fit was made: takes back what it knew of these reports, learns what they are. */
async function learnMeanwhile(
  trx: Db,
  attempt: number,
  { changed, known, mended }: { changed: readonly string[]; known: ReadonlySet<string>; mended: Collected['mended'] },
): Promise<void> {
  const touched: ReportEvidence[] = []
  for (let start = 0; start < changed.length; start += fewAtOnce) {
    const ids = changed.slice(start, start + fewAtOnce)
    const before = await worthBefore(
      trx,
      attempt,
      ids.filter((id) => known.has(id)),
    )
    const asFitted = before.map((report) => ({ ...report, fileWeight: mended.get(report.id) ?? report.fileWeight }))
    const now = await evidenceOf(trx, ids)
    await takeBackAndLearn(trx, asFitted, now)
    touched.push(...asFitted, ...now)
  }
  await balanceSharesOf(trx, touched)
}
