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
  const { good, tried = 0, fileWeight = 1, memberWeight = 1 } = report
  const sensible = isCount(good) && isCount(tried) && isCount(fileWeight) && isCount(memberWeight)
  if (!sensible || !report.failures.every(({ copies }) => isCount(copies))) {
    throw new RangeError('counts and weights of a report must be numbers >= 0')
  }
  if (!crowdings.includes(report.crowding)) throw new RangeError(`unknown crowding "${report.crowding}"`)
  const failures: Counted['failures'] = []
  let failed = 0
  for (const failure of report.failures) {
    countFailure(failures, failure, rowOf)
    failed += failure.copies
  }
  const missing = Math.max(0, tried - good - failed)
  countFailure(failures, { seen: unaccounted, copies: missing }, rowOf)
  const weight = memberWeight * copyWeight(Math.max(1, good + failed + missing), rho)
  return { good, weight, fileWeight: weight * fileWeight, failures }
}

function isCount(value: number): boolean {
  return Number.isFinite(value) && value >= 0
}

function countFailure(
  failures: Counted['failures'],
  { seen, copies, message = null }: Failure<string>,
  rowOf: Chances['rowOf'],
): void {
  const row = rowOf.get(seen)
  if (row === undefined) throw new RangeError(`unknown label "${seen}"`)
  if (copies === 0) return
  const same = failures.find((failure) => failure.row === row)
  if (same) Object.assign(same, { copies: same.copies + copies, message })
  else failures.push({ seen, row, copies, message })
}
