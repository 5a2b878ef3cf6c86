import { sql } from 'kysely'
import type { Db } from '../../../db/connect.ts'
import { reweigh } from '../../scoring/one-more.ts'
import { startingRho } from '../../scoring/priors.ts'
import { currentFit } from './model.ts'
import { changed, lockNeighbourhood } from './neighbourhood.ts'
import type { ReportEvidence } from './report-evidence.ts'
import { groupKey, lineKey } from './rules.ts'
import { changesWeight, keepShares, type Share, sharesOf } from './shares.ts'
import { keepChanges } from './storing.ts'

/**
 * Gives shares whose reports have become more, or fewer, the weight that they are to have now: what all of their reports
 * are worth is weighed anew. Most have so few reports that all of them count in full.
 *
 * @param shares as they were found once their lines and periods were locked
 * @param gone reports that don't count to them any more, though their rows may still be there
 */
export async function balance(trx: Db, shares: Iterable<Share>, gone: readonly string[]): Promise<void> {
  for (const share of shares) {
    if (!changesWeight(share)) continue
    const holdings = await holdingsOf(trx, share, gone)
    if (holdings) await weighAnew(trx, share, holdings, gone)
    await keepShares(trx, [{ ...share, weight: share.nextWeight }])
  }
}

/** The same for the shares of all these reports, which are learnt already. */
export async function balanceSharesOf(trx: Db, reports: readonly ReportEvidence[]): Promise<void> {
  if (reports.length > 0) await balance(trx, (await sharesOf(trx, reports, [])).values(), [])
}

/** The reports of a share, and what they would be worth together if they counted in full. */
interface Holdings {
  ids: string[]
  sculptorId: string
  fileX: number
  fileY: number
  machineX: number
  machineY: number
}

async function holdingsOf(trx: Db, share: Share, gone: readonly string[]): Promise<Holdings | undefined> {
  const { rows } = await sql<Holdings>`
    with own as (
      select report.id, file.sculptor_id, report.good, report.file_weight,
        1 / (1 + (report.tried - 1) * ${startingRho}::float8) as weight
      from report
      join support_set on support_set.id = report.support_set_id
      join revision on revision.id = support_set.revision_id
      join file on file.id = revision.file_id
      where report.printer_period_id = ${share.periodId} and report.member_id = ${share.memberId}
        and revision.file_id = ${share.fileId} and support_set.kind = ${share.kind}
        and report.id <> all(${gone}::uuid[])
    ), failed as (
      select own.id, sum(failure.copies * made.message[1]) as file_x, sum(failure.copies * made.message[2]) as file_y,
        sum(failure.copies * made.message[3]) as machine_x, sum(failure.copies * made.message[4]) as machine_y
      from own
      join report_failure failure on failure.report_id = own.id
      join failure_message made
        on made.report_id = own.id and made.seen = failure.seen and made.fit = ${currentFit}
      group by own.id
    )
    select array_agg(own.id) as ids, min(own.sculptor_id::text) as sculptor_id,
      sum(own.weight * own.file_weight * (own.good + coalesce(failed.file_x, 0))) as file_x,
      sum(own.weight * own.file_weight * coalesce(failed.file_y, 0)) as file_y,
      sum(own.weight * (own.good + coalesce(failed.machine_x, 0))) as machine_x,
      sum(own.weight * coalesce(failed.machine_y, 0)) as machine_y
    from own left join failed on failed.id = own.id
    having count(*) > 0`.execute(trx)
  return rows[0]
}

async function weighAnew(trx: Db, share: Share, holdings: Holdings, gone: readonly string[]): Promise<void> {
  const { ids, sculptorId, fileX, fileY, machineX, machineY } = holdings
  const line = { fileId: share.fileId, kind: share.kind, sculptorId }
  // Those that are gone are named as well: as long as their rows are there, they would be taken for neighbours.
  const placed = [...ids, ...gone].map((id) => ({ id, periodId: share.periodId, ...line }))
  const { neighbourhood, lines, groups, state } = await lockNeighbourhood(trx, placed)
  const times = (share.nextWeight - share.weight) * share.standing
  const changes = reweigh(
    neighbourhood,
    { supportSet: lineKey(line), group: groupKey(line), printerPeriod: share.periodId },
    { file: { x: times * fileX, y: times * fileY }, machine: { x: times * machineX, y: times * machineY } },
  )
  await keepChanges(trx, { lines, groups, fit: state.fit }, neighbourhood, changed(neighbourhood, changes))
}
