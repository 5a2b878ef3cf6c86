import { type Chances, type Seen, unaccounted } from './labels.ts'
import type { Message } from './network.ts'
import { type Crowding, copyWeight, crowdings } from './priors.ts'

/** Failed copies of one report by what was seen; `message` is what an earlier fit had made of them, for a warm start. */
export type Failure<Label extends string = Seen> = { seen: Label; copies: number; message?: Message | null }

export type Report<Label extends string = Seen> = {
  /** needed only to find the report's messages again */
  id?: string
  /** the file with its kind of support */
  supportSet: string
  /** the sculptor with the kind of support: sets of one group hint at each other */
  group: string
  /** one printer between two dates of upkeep */
  printerPeriod: string
  crowding: Crowding
  /** copies that came out good */
  good: number
  failures: readonly Failure<Label>[]
  /** copies on the plate; what neither came out good nor failed as seen counts as "don't know" */
  tried?: number
  /** worth for the file side alone, for reports on older revisions (a power prior): 1 when left out */
  fileWeight?: number
  /** worth for all three stages, for what a member has reported many times: 1 when left out */
  memberWeight?: number
}

/** A report as the model counts it: `weight` is the worth of one copy to printer and plate, `fileWeight` to the file. */
export type Counted = {
  good: number
  weight: number
  fileWeight: number
  /** each label once, `row` being its place in the table of chances */
  failures: { seen: string; row: number; copies: number; message: Message | null }[]
}

/**
 * Checks and weighs a report.
 *
 * @throws RangeError when a count or weight is no finite number >= 0, or a label or crowding unknown
 * @see Ibrahim & Chen (2000), Power prior distributions for regression models, Statistical Science 15, 46-60
 */
export function counted(report: Report<string>, { rowOf }: Chances, rho: number): Counted {
  const { good, fileWeight = 1, memberWeight = 1 } = report
  const numbers = [good, fileWeight, memberWeight, report.tried ?? 0, ...report.failures.map(({ copies }) => copies)]
  if (!numbers.every((n) => Number.isFinite(n) && n >= 0)) {
    throw new RangeError('counts and weights of a report must be numbers >= 0')
  }
  if (!crowdings.includes(report.crowding)) throw new RangeError(`unknown crowding "${report.crowding}"`)
  const byLabel = new Map<string, Counted['failures'][number]>()
  const failed = report.failures.reduce((sum, { copies }) => sum + copies, 0)
  const missing = Math.max(0, (report.tried ?? 0) - good - failed)
  for (const { seen, copies, message } of [...report.failures, { seen: unaccounted, copies: missing, message: null }]) {
    const row = rowOf.get(seen)
    if (row === undefined) throw new RangeError(`unknown label "${seen}"`)
    if (copies === 0) continue
    byLabel.set(seen, { seen, row, copies: copies + (byLabel.get(seen)?.copies ?? 0), message: message ?? null })
  }
  const weight = memberWeight * copyWeight(Math.max(1, good + failed + missing), rho)
  return { good, weight, fileWeight: weight * fileWeight, failures: [...byLabel.values()] }
}
