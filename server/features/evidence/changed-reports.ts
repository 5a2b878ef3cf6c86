import { type RawBuilder, sql } from 'kysely'
import { z } from 'zod'
import type { Db } from '../../../db/connect.ts'
import { seen } from '../../scoring/labels.ts'
import { supportKind } from '../revisions/schema.ts'
import { currentFit } from './model.ts'
import type { ReportEvidence } from './report-evidence.ts'

/*
 * Which reports came, changed or went since a full fit was begun. Whoever learns or forgets one notes it in the same
 * transaction, with what it was worth when the fit was begun; a later note of the same report is left out.
 */

/** What a report was worth: its sculptor may have been corrected since, and its messages are kept elsewhere. */
const worth = z.object({
  ...{ memberId: z.uuid(), supportSetId: z.uuid(), fileId: z.uuid(), periodId: z.uuid() },
  ...{ kind: supportKind, crowding: z.enum(['loose', 'normal', 'packed']) },
  ...{ tried: z.number(), good: z.number(), fileWeight: z.number() },
  failures: z.array(z.object({ seen: z.enum(seen), copies: z.number() })),
})

type Before = z.infer<typeof worth>

/**
 * Notes that these reports are not what they were, as a statement that has to be executed.
 *
 * @param before what they were worth, without those that are new
 * @param ids of all of them
 */
export function changesNoted(before: readonly ReportEvidence[], ids: readonly string[]): RawBuilder<unknown> {
  const known = new Map(before.map((report) => [report.id, worthOf(report)]))
  const rows = [...new Set(ids)].map((id) => ({ id, before: known.get(id) ?? null }))
  return sql`
    insert into report_change (attempt, report_id, before)
    select (select attempt from scoring_fit), id, before
    from json_to_recordset(${JSON.stringify(rows)}::json) as given (id uuid, before jsonb)
    on conflict do nothing`
}

function worthOf(report: ReportEvidence): Before {
  const { memberId, supportSetId, fileId, kind, periodId, tried, good, crowding, fileWeight, failures } = report
  return {
    ...{ memberId, supportSetId, fileId, kind, periodId, tried, good, crowding, fileWeight },
    failures: failures.map((failure) => ({ seen: failure.seen, copies: failure.copies })),
  }
}

/** Ids of the reports between two ids that came, changed or went since the fit was begun. */
export async function changedBetween(
  db: Db,
  attempt: number,
  { after, upTo }: { after: string | undefined; upTo: string | undefined },
): Promise<string[]> {
  const rows = await db
    .selectFrom('reportChange')
    .select('reportId')
    .where('attempt', '=', attempt)
    .$if(after !== undefined, (query) => query.where('reportId', '>', after ?? ''))
    .$if(upTo !== undefined, (query) => query.where('reportId', '<=', upTo ?? ''))
    .execute()
  return rows.map(({ reportId }) => reportId)
}

/** All reports that came, changed or went since the fit was begun. */
export async function changedSince(db: Db, attempt: number): Promise<{ id: string; isNew: boolean }[]> {
  const rows = await db
    .selectFrom('reportChange')
    .select((eb) => ['reportId as id', eb('before', 'is', null).as('isNew')])
    .where('attempt', '=', attempt)
    .orderBy('reportId')
    .execute()
  return rows.map(({ id, isNew }) => ({ id, isNew: Boolean(isNew) }))
}

/**
 * What changed reports were worth when the fit was begun, with the messages of the fit that counts now.
 *
 * @returns without those that were not there yet
 * @throws z.ZodError for a note that this version can't read: the fit is then begun anew
 */
export async function worthBefore(trx: Db, attempt: number, ids: readonly string[]): Promise<ReportEvidence[]> {
  if (ids.length === 0) return []
  const rows = await trx
    .selectFrom('reportChange')
    .select(['reportId as id', 'before'])
    .where('attempt', '=', attempt)
    .where('reportId', 'in', ids)
    .where('before', 'is not', null)
    .orderBy('reportId')
    .execute()
  const known = rows.map(({ id, before }) => ({ id, ...worth.parse(before) }))
  const sculptors = await sculptorsOf(trx, known)
  const messages = await messagesOf(trx, ids)
  return known.map((report) => ({
    ...report,
    sculptorId: sculptors.get(report.fileId) ?? '',
    // Found out once its line and period are locked.
    memberWeight: 1,
    failures: report.failures.map((failure) => ({
      ...failure,
      message: messages.get(`${report.id} ${failure.seen}`) ?? null,
    })),
  }))
}

async function sculptorsOf(trx: Db, reports: readonly { fileId: string }[]): Promise<Map<string, string>> {
  if (reports.length === 0) return new Map()
  const ids = reports.map(({ fileId }) => fileId)
  const rows = await trx.selectFrom('file').select(['id', 'sculptorId']).where('id', 'in', ids).execute()
  return new Map(rows.map(({ id, sculptorId }) => [id, sculptorId]))
}

async function messagesOf(trx: Db, reportIds: readonly string[]): Promise<Map<string, number[]>> {
  const rows = await trx
    .selectFrom('failureMessage')
    .select(['reportId', 'seen', 'message'])
    .where('reportId', 'in', reportIds)
    .where('fit', '=', currentFit)
    .execute()
  return new Map(rows.map(({ reportId, seen, message }) => [`${reportId} ${seen}`, message]))
}
