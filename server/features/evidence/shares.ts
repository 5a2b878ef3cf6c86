import { sql } from 'kysely'
import { type Db, often } from '../../../db/connect.ts'
import { memberWeight } from '../../scoring/members.ts'
import { startingRho } from '../../scoring/priors.ts'
import { currentFit } from './model.ts'
import type { ReportEvidence } from './report-evidence.ts'
import { givenRows } from './rows.ts'
import { type Line, lineKey } from './rules.ts'

/*
 * One member's reports on one line and printer period have a share in common: together they count no more than
 * scoring/members.ts allows. A row of member_share is only ever written under the locks of its line and its period, by
 * whoever adds, changes or removes one of these reports.
 */

/** What is shared by the reports of a member on a line and a printer period. */
export interface Share extends Line {
  memberId: string
  periodId: string
  /** what each of them counts now */
  weight: number
  /** what each of them is to count, after what becomes of them in this transaction */
  nextWeight: number
  /** what the member's evidence counts besides */
  standing: number
}

type Sharer = Pick<ReportEvidence, 'memberId' | 'fileId' | 'kind' | 'periodId'>

export const shareKey = ({ memberId, periodId, ...line }: Sharer) => `${memberId} ${lineKey(line)} ${periodId}`

/**
 * The shares that reports belong to, once their lines and periods are locked.
 *
 * @param gone reports that don't count to them any more, though their rows may still be there
 */
export async function sharesOf(
  trx: Db,
  reports: readonly Sharer[],
  gone: readonly string[],
): Promise<ReadonlyMap<string, Share>> {
  const wanted = [...new Map(reports.map((report) => [shareKey(report), report])).values()]
  const { rows } = await sql<Omit<Share, 'nextWeight'> & { copies: number }>`
    select ${often} wanted.member_id, wanted.file_id, wanted.kind, wanted.period_id,
      coalesce(share.weight, 1) as weight, coalesce(standing.weight, 1) as standing, (
        select coalesce(sum(report.tried / (1 + (report.tried - 1) * ${startingRho}::float8)), 0)
        from report
        join support_set on support_set.id = report.support_set_id
        join revision on revision.id = support_set.revision_id
        where report.printer_period_id = wanted.period_id and report.member_id = wanted.member_id
          and revision.file_id = wanted.file_id and support_set.kind = wanted.kind
          and report.id <> all(${gone}::uuid[])
      ) as copies
    from ${givenRows(
      'wanted',
      ['member_id', 'uuid', wanted.map(({ memberId }) => memberId)],
      ['file_id', 'uuid', wanted.map(({ fileId }) => fileId)],
      ['kind', 'text', wanted.map(({ kind }) => kind)],
      ['period_id', 'uuid', wanted.map(({ periodId }) => periodId)],
    )}
    left join member_share share on share.member_id = wanted.member_id and share.file_id = wanted.file_id
      and share.kind = wanted.kind and share.period_id = wanted.period_id and share.fit = ${currentFit}
    left join member_standing standing on standing.member_id = wanted.member_id and standing.fit = ${currentFit}`.execute(
    trx,
  )
  return new Map(
    rows.map(({ copies, ...share }) => [shareKey(share), { ...share, nextWeight: memberWeight(copies) }] as const),
  )
}

/** Less than this is rounding. */
const rounding = 1e-12

export const changesWeight = ({ weight, nextWeight }: Share) => Math.abs(nextWeight - weight) > rounding

/** A report with the weight that its share and its member have now. */
export function atItsWeight(report: ReportEvidence, shares: ReadonlyMap<string, Share>): ReportEvidence {
  const share = shares.get(shareKey(report))
  return share ? { ...report, memberWeight: share.weight * share.standing } : report
}

export type StoredShare = Omit<Share, 'nextWeight' | 'standing'>

/**
 * Writes shares; there is no row for those that count in full.
 *
 * @param fit the full fit whose rows are meant: the one that counts, unless another is said
 */
export async function keepShares(
  trx: Db,
  shares: readonly StoredShare[],
  fit: number | typeof currentFit = currentFit,
): Promise<void> {
  const less = shares.filter(({ weight }) => weight < 1)
  if (less.length > 0) {
    await sql`
      insert into member_share (member_id, file_id, kind, period_id, fit, weight)
      select "memberId", "fileId", kind, "periodId", ${fit}, weight
      from json_to_recordset(${JSON.stringify(less)}::json)
        as given ("memberId" uuid, "fileId" uuid, kind text, "periodId" uuid, weight float8)
      on conflict (member_id, file_id, kind, period_id, fit) do update set weight = excluded.weight`.execute(trx)
  }
  const full = shares.filter(({ weight }) => weight === 1)
  if (full.length === 0) return
  await sql`
    delete from member_share using json_to_recordset(${JSON.stringify(full)}::json)
      as given ("memberId" uuid, "fileId" uuid, kind text, "periodId" uuid)
    where member_share.member_id = given."memberId" and member_share.file_id = given."fileId"
      and member_share.kind = given.kind and member_share.period_id = given."periodId"
      and member_share.fit = ${fit}`.execute(trx)
}
