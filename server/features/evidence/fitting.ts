import { sql } from 'kysely'
import { type Db, inTransaction } from '../../../db/connect.ts'
import { Evidence } from '../../scoring/evidence.ts'
import { type Fit, fitEvidence } from '../../scoring/fit.ts'
import type { Seen } from '../../scoring/labels.ts'
import { crowdings, type Hyper, type Total } from '../../scoring/priors.ts'
import { priorOfSet, sculptorRecord } from '../../scoring/sculptor-tier.ts'
import { supportSetAges } from './ages.ts'
import { haltLearning } from './learning.ts'
import { asReport, evidence, type ReportEvidence } from './reports.ts'
import { fileWeight, groupKey, type LineOfSculptor, lineKey } from './rules.ts'
import {
  keepFileWeights,
  keepMessages,
  keepPeriods,
  keepSuccesses,
  type StoredMessage,
  successRows,
} from './storing.ts'

export interface Refit {
  sweeps: number
  /** the fit was stopped at its most sweeps, not because nothing moved any more */
  capped: boolean
  ms: number
  reports: number
}

/**
 * Works everything out anew from the reports alone: what was learnt before plays no part, so the same reports always
 * give the same figures. Reports that come in meanwhile wait, and are learnt on top of it.
 */
export async function refit(db: Db): Promise<Refit> {
  const started = performance.now()
  return inTransaction(db, async (trx) => {
    await haltLearning(trx)
    const { collected, reports } = await collect(trx)
    const fitted = fitEvidence(collected)
    await keepFit(trx, fitted, reports)
    const ms = Math.round(performance.now() - started)
    return { sweeps: fitted.sweeps, capped: fitted.capped, ms, reports }
  })
}

/** When the last fit was, what it knew, and how many reports came since; before the first, all of them did. */
export async function lastFit(db: Db) {
  const fit = await db.selectFrom('scoringFit').select(['fittedAt', 'sweeps', 'capped', 'reports']).executeTakeFirst()
  const { since } = await db
    .selectFrom('report')
    .select((eb) => eb.fn.countAll<number>().as('since'))
    .where(sql<boolean>`created_at > coalesce((select fitted_at from scoring_fit), '-infinity')`)
    .executeTakeFirstOrThrow()
  return { fittedAt: null, sweeps: 0, capped: false, reports: 0, ...fit, since }
}

/** Reports are read, and results written, so many at a time. */
const portion = 5000

/**
 * All reports, without what earlier fits and updates made of them. Their weights are worked out anew too: `reweighLine`
 * keeps them up, this mends what ever slipped through.
 */
async function collect(trx: Db): Promise<{ collected: Evidence; reports: number }> {
  const ages = await supportSetAges(trx).execute()
  const weights = new Map(ages.map(({ supportSetId, lag, mended }) => [supportSetId, fileWeight(lag, mended)]))
  const collected = new Evidence()
  let reports = 0
  for await (const rows of allReports(trx)) {
    const weighed = rows.map((row) => ({ ...row, fileWeight: weights.get(row.supportSetId) ?? 1 }))
    await keepFileWeights(
      trx,
      weighed.filter((row, index) => row.fileWeight !== rows[index]?.fileWeight),
    )
    for (const row of weighed) {
      const failures = row.failures.map(({ seen, copies }) => ({ seen, copies }))
      collected.add({ ...asReport(row), failures })
    }
    reports += rows.length
  }
  return { collected, reports }
}

async function* allReports(trx: Db): AsyncGenerator<ReportEvidence[]> {
  let last: string | undefined
  do {
    const after = last
    const rows: ReportEvidence[] = await evidence(trx)
      .$if(after !== undefined, (query) => query.where('report.id', '>', after ?? ''))
      .limit(portion)
      .execute()
    yield rows
    last = rows.length === portion ? rows.at(-1)?.id : undefined
  } while (last !== undefined)
}

async function keepFit(trx: Db, fitted: Fit, reports: number): Promise<void> {
  await keepLines(trx, fitted)
  await keepAllPeriods(trx, fitted)
  await keepAllMessages(trx, fitted)
  for (const crowding of crowdings) {
    await trx.updateTable('plateSuccess').set(fitted.plates[crowding]).where('crowding', '=', crowding).execute()
  }
  const { mu0, k0, k, am, bm }: Hyper = fitted.hyper
  const fit = { mu0, k0, k, am, bm, sweeps: fitted.sweeps, capped: fitted.capped, reports }
  // The database's clock, which also dates the reports; `now()` would be the time before the locks.
  const row = { ...fit, fittedAt: sql<Date>`clock_timestamp()` }
  await trx
    .insertInto('scoringFit')
    .values(row)
    .onConflict((conflict) => conflict.column('onlyRow').doUpdateSet(row))
    .execute()
}

/** A row for every line: what the fit says, and for those that nobody has printed what their sculptor's record does. */
async function keepLines(trx: Db, { supportSets, hyper }: Fit): Promise<void> {
  const lines: LineOfSculptor[] = await trx
    .selectFrom('supportSet')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .innerJoin('file', 'file.id', 'revision.fileId')
    .select(['file.id as fileId', 'file.sculptorId', 'supportSet.kind'])
    .distinct()
    .execute()
  const rows = [...Map.groupBy(lines, groupKey).values()].flatMap((group) => {
    const unprinted = priorOfUnprinted(
      group.flatMap((line) => supportSets.get(lineKey(line)) ?? []),
      hyper,
    )
    const nodes = group.map((line) => ({ ...line, ...(supportSets.get(lineKey(line)) ?? unprinted) }))
    return successRows(nodes, nodes, hyper)
  })
  for (const some of portions(rows)) await keepSuccesses(trx, some)
}

/** What a sculptor's record says of a line without reports, as the next report on it will be learnt on. */
function priorOfUnprinted(printed: readonly Total[], hyper: Hyper) {
  const [priorA, priorB] = priorOfSet(sculptorRecord(printed, hyper), hyper)
  return { x: 0, y: 0, priorA, priorB }
}

async function keepAllPeriods(trx: Db, { printerPeriods }: Fit): Promise<void> {
  const periods = await trx.selectFrom('printerPeriod').select('id').execute()
  const rows = periods.map(({ id }) => ({ id, ...(printerPeriods.get(id) ?? { x: 0, y: 0 }) }))
  for (const some of portions(rows)) await keepPeriods(trx, some)
}

async function keepAllMessages(trx: Db, { sites }: Fit): Promise<void> {
  let some: StoredMessage[] = []
  // A million of them are made one at a time, so they are gathered here and not by `portions`.
  for (const { reportId, seen, message } of sites()) {
    some.push({ reportId: String(reportId), seen: seen as Seen, message })
    if (some.length === portion) {
      await keepMessages(trx, some)
      some = []
    }
  }
  await keepMessages(trx, some)
}

function* portions<Row>(rows: readonly Row[]): Generator<Row[]> {
  for (let start = 0; start < rows.length; start += portion) yield rows.slice(start, start + portion)
}
