import type { RawBuilder } from 'kysely'
import type { Db } from '../../../db/connect.ts'
import type { SupportKind } from '../../../db/tables.ts'
import type { Neighbourhood } from '../../scoring/neighbourhood.ts'
import { forget, learn } from '../../scoring/one-more.ts'
import { supportSetAges } from './ages.ts'
import { balance } from './balancing.ts'
import { changesNoted } from './changed-reports.ts'
import { joinLearning } from './joining.ts'
import { changed, lockNeighbourhood, nearest } from './neighbourhood.ts'
import { asReport, type ReportEvidence, sitesOf } from './report-evidence.ts'
import { evidenceOf } from './reports.ts'
import { fileWeight, lineKey } from './rules.ts'
import { atItsWeight, type Share, sharesOf } from './shares.ts'
import { dropMessages, keepChanges, keepFileWeights } from './storing.ts'

/**
 * Learns from a report that is being kept in the same transaction.
 *
 * @param trx after `joinLearning`
 */
export async function learnReport(trx: Db, report: ReportEvidence): Promise<void> {
  await relearn(trx, [], [report])
}

/** The age of supports among their file's: what tells the worth of a report on them (`worthAt`). */
export const ageOfSupports = (db: Db, fileId: string, supportSetId: string) =>
  db
    .selectFrom(supportSetAges(db, [fileId]).as('age'))
    .select(['lag', 'mended'])
    .where('supportSetId', '=', supportSetId)

/** What a report on supports of this age is worth to their file. */
export const worthAt = (age: { lag: number; mended: boolean } | null) => (age ? fileWeight(age.lag, age.mended) : 1)

/** Takes a report's evidence back; in the same transaction the report is to be removed, or learnt anew. */
export async function forgetReport(trx: Db, reportId: string): Promise<void> {
  await relearn(trx, await evidenceOf(trx, [reportId]), [])
}

/**
 * After a change of some reports: takes back what they were worth and learns what they are now, in one go.
 *
 * @param before their evidence as it was before the change (`evidenceOf`)
 */
export async function relearnReports(trx: Db, before: readonly ReportEvidence[]): Promise<void> {
  const ids = before.map(({ id }) => id)
  await relearn(trx, before, await weighed(trx, await evidenceOf(trx, ids)))
}

/**
 * Keeps reports on a file out until the transaction ends: before it gets other supports, or some are said to be mended. A
 * report that is sent meanwhile then waits, and is weighed by what has become of them.
 */
export async function haltReportsOn(trx: Db, fileId: string): Promise<void> {
  await joinLearning(trx)
  await trx.selectFrom('file').select('id').where('id', '=', fileId).forNoKeyUpdate().execute()
}

/**
 * After a new revision or support set of a file, or a snag on its supports marked as mended (or no longer): weighs the
 * line's reports anew.
 *
 * @param trx after `haltReportsOn`
 */
export async function reweighLine(trx: Db, fileId: string, kind: SupportKind): Promise<void> {
  const locked = await trx
    .selectFrom('report')
    .innerJoin('supportSet', 'supportSet.id', 'report.supportSetId')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .select('report.id')
    .where('revision.fileId', '=', fileId)
    .where('supportSet.kind', '=', kind)
    .orderBy('report.id')
    .forNoKeyUpdate('report')
    .execute()
  const ids = locked.map(({ id }) => id)
  const before = await evidenceOf(trx, ids)
  const after = await weighed(trx, before)
  const isNew = (report: ReportEvidence, index: number) => report.fileWeight !== after[index]?.fileWeight
  const changed = before.filter(isNew)
  const changedIds = new Set(changed.map(({ id }) => id))
  await relearn(
    trx,
    changed,
    after.filter(({ id }) => changedIds.has(id)),
  )
}

/** Gives reports the weight that their supports' age calls for, and keeps it. @returns the reports with it, same order */
async function weighed(trx: Db, reports: readonly ReportEvidence[]): Promise<ReportEvidence[]> {
  if (reports.length === 0) return []
  const ages = await supportSetAges(trx, [...new Set(reports.map(({ fileId }) => fileId))]).execute()
  const weights = new Map(ages.map(({ supportSetId, lag, mended }) => [supportSetId, fileWeight(lag, mended)]))
  const weightOf = (report: ReportEvidence) => weights.get(report.supportSetId) ?? report.fileWeight
  await keepFileWeights(
    trx,
    reports.map((report) => ({ id: report.id, fileWeight: weightOf(report) })),
  )
  return reports.map((report) => ({ ...report, fileWeight: weightOf(report) }))
}

/** Takes the first reports' evidence back, learns the others, keeps what that changes around them, and notes them. */
async function relearn(trx: Db, before: readonly ReportEvidence[], after: readonly ReportEvidence[]): Promise<void> {
  if (before.length + after.length === 0) return
  await joinLearning(trx)
  const noted = changesNoted(
    before,
    [...before, ...after].map(({ id }) => id),
  )
  const shares = await takeBackAndLearn(trx, before, after, noted)
  await balance(trx, shares.values(), goneOf(before, after))
}

/**
 * Takes the first reports' evidence back, learns the others, and keeps what that changes around them.
 *
 * @param before with the messages of the fit that counts
 * @param noted a statement that is to be executed with what is kept
 * @returns the shares that these reports have in; they are out of balance until `balance`
 */
export async function takeBackAndLearn(
  trx: Db,
  before: readonly ReportEvidence[],
  after: readonly ReportEvidence[],
  noted?: RawBuilder<unknown>,
): Promise<ReadonlyMap<string, Share>> {
  if (before.length + after.length === 0) return new Map()
  const { neighbourhood, lines, groups, state } = await lockNeighbourhood(trx, [...before, ...after])
  const shares = await sharesOf(trx, [...before, ...after], goneOf(before, after))
  const old = before.map((report) => atItsWeight(report, shares))
  const fresh = after.map((report) => atItsWeight(report, shares))
  let now: Neighbourhood = { ...neighbourhood, sites: [...neighbourhood.sites, ...old.flatMap(sitesOf)] }
  for (const report of old) now = changed(now, forget(around(now, report), asReport(report)), report.id)
  for (const report of fresh) now = changed(now, learn(around(now, report), asReport(report)))
  await dropMessages(
    trx,
    state.fit,
    before.map(({ id }) => id),
  )
  await keepChanges(trx, { lines, groups, fit: state.fit }, neighbourhood, now, noted)
  return shares
}

/** Reports that are taken back for good. */
function goneOf(before: readonly ReportEvidence[], after: readonly ReportEvidence[]): string[] {
  const kept = new Set(after.map(({ id }) => id))
  return before.flatMap(({ id }) => (kept.has(id) ? [] : [id]))
}

/** Of a neighbourhood of several reports, one report's own sites and the nearest ones of its line and of its period. */
function around(state: Neighbourhood, report: ReportEvidence): Neighbourhood {
  const line = lineKey(report)
  const own = state.sites.filter(({ reportId }) => reportId === report.id)
  const others = state.sites.filter(({ reportId }) => reportId !== report.id)
  const ofLine = others.filter(({ supportSet }) => supportSet === line).slice(-nearest)
  const ofPeriod = others.filter(({ printerPeriod }) => printerPeriod === report.periodId).slice(-nearest)
  return { ...state, sites: [...new Set([...own, ...ofLine, ...ofPeriod])] }
}
