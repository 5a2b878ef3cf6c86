import type { Db } from '../../../db/connect.ts'
import { supportSetAges } from './ages.ts'
import { changedBetween } from './changed-reports.ts'
import type { FitSteps } from './fit-work.ts'
import type { ReportEvidence } from './report-evidence.ts'
import { plainEvidence } from './reports.ts'
import { fileWeight } from './rules.ts'

/** What a fit knows of the reports. */
export interface Collected {
  /** how many it took in */
  reports: number
  /** those that it left out since they had changed by the time they were read */
  missed: ReadonlySet<string>
  /** by report, where another worth for the file was kept than its supports' age calls for */
  mended: ReadonlyMap<string, number>
}

/** Reports are read so many at a time. */
const portion = 5000

/**
 * Hands all reports to a fit as they were when it was begun, without what earlier fits and updates made of them: those
 * that have come, changed or gone since are left out. They are read in portions, each at its own moment, and *then* it is
 * asked which of them had changed; so whatever was taken in was still what it had been at the beginning.
 *
 * Their weights are worked out anew too: `reweighLine` keeps them up, this sees to reports that came in otherwise.
 */
export async function collect(db: Db, attempt: number, steps: FitSteps, signal?: AbortSignal): Promise<Collected> {
  const weights = await fileWeights(db)
  const missed = new Set<string>()
  const mended = new Map<string, number>()
  let reports = 0
  let after: string | undefined
  do {
    signal?.throwIfAborted()
    const rows = await read(db, after)
    const upTo = rows.length === portion ? rows.at(-1)?.id : undefined
    const changed = new Set(await changedBetween(db, attempt, { after, upTo }))
    for (const id of changed) missed.add(id)
    const unchanged = rows.filter(({ id }) => !changed.has(id))
    const weighed = unchanged.map((row) => ({ ...row, fileWeight: weights.get(row.supportSetId) ?? 1 }))
    weighed.forEach((row, index) => {
      if (row.fileWeight !== unchanged[index]?.fileWeight) mended.set(row.id, row.fileWeight)
    })
    await steps.add(weighed)
    reports += weighed.length
    after = upTo
  } while (after !== undefined)
  return { reports, missed, mended }
}

/** What a report on each support set is worth to the file. */
async function fileWeights(db: Db): Promise<ReadonlyMap<string, number>> {
  const ages = await supportSetAges(db).execute()
  return new Map(ages.map(({ supportSetId, lag, mended }) => [supportSetId, fileWeight(lag, mended)]))
}

function read(db: Db, after: string | undefined): Promise<ReportEvidence[]> {
  return plainEvidence(db)
    .$if(after !== undefined, (query) => query.where('report.id', '>', after ?? ''))
    .limit(portion)
    .execute()
}
