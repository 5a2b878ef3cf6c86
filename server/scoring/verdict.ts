import { below, mean, quantile, type Shape } from './beta.ts'
import { chancesBySet, type LabelTable, type Seen, type Stage, seenLabels, stageSets, stages } from './labels.ts'

/** How much each stage is to blame for a report's failures; the three add to 1. */
export type Blame = Record<Stage, number>

/** What to do first, as a code with the numbers behind it; the words are the pages'. */
export type Advice =
  | { code: 'look at the printer'; because: 'most of the blame'; share: number }
  | { code: 'look at the printer'; because: 'worse than before'; probability: number }
  | { code: 'fewer copies a plate'; share: number }
  | { code: 'other supports or another file'; share: number }
  | { code: "can't tell the file from that printer yet"; copiesFromOnePeriod: number; unknownFailures: number }

export type Verdict = Blame & { advice: Advice[] }

/** Above these the advice is given. (Common practice, no source.) */
const machineShare = 0.6
const plateShare = 0.5
const fileShare = 0.5
const worseThanBefore = 0.8

type Failures<Label extends string> = readonly { seen: Label; copies: number }[]

export type VerdictQuestion<Label extends string = Seen> = {
  /** of this report */
  failures: Failures<Label>
  /** full posteriors, this report included */
  shapes: Record<Stage, Shape>
  /** the same printer's periods before the present one */
  earlierPeriods?: readonly Shape[]
  /** all reports of the support set, for telling whether its file can be told from one printer at all */
  setEvidence?: SetEvidence<Label>
  labels?: LabelTable
}

/**
 * Whose fault were a report's failures, and what to do first.
 *
 * @returns shares of the blame, which add to 1 (a third each without any failure), and advice, most pressing first
 * @throws RangeError for a label that is not in the table
 */
export function verdict<Label extends string = Seen>(question: VerdictQuestion<Label>): Verdict {
  const { failures, shapes, earlierPeriods = [], setEvidence, labels = seenLabels } = question
  const blame = blameOf(failures, shapes, labels)
  const advice: Advice[] = []
  if (failures.every(({ copies }) => copies === 0)) return { ...blame, advice }
  const probability = worseThanEarlier(shapes.machine, earlierPeriods)
  if (blame.machine > machineShare) {
    advice.push({ code: 'look at the printer', because: 'most of the blame', share: blame.machine })
  } else if (probability > worseThanBefore) {
    advice.push({ code: 'look at the printer', because: 'worse than before', probability })
  }
  if (blame.plate > plateShare) advice.push({ code: 'fewer copies a plate', share: blame.plate })
  if (blame.file > fileShare) advice.push({ code: 'other supports or another file', share: blame.file })
  const untold = setEvidence && confounded(setEvidence)
  if (untold) advice.push({ code: "can't tell the file from that printer yet", ...untold })
  return { ...blame, advice }
}

/** Copies-weighted share of the blame: sum over sets F of failed stages of P(F | seen) / |F| for each stage in F. */
function blameOf(failures: Failures<string>, shapes: Record<Stage, Shape>, labels: LabelTable): Blame {
  const success = stages.map((stage) => mean(shapes[stage]))
  const sums = [0, 0, 0]
  let copies = 0
  for (const failure of failures) {
    const row = Object.hasOwn(labels, failure.seen) ? labels[failure.seen] : undefined
    if (!row) throw new RangeError(`unknown label "${failure.seen}"`)
    const shares = sharesOfOneCopy(chancesBySet(row), success)
    shares.forEach((share, stage) => {
      sums[stage] = (sums[stage] ?? 0) + share * failure.copies
    })
    copies += failure.copies
  }
  const [file = 0, machine = 0, plate = 0] = sums.map((sum) => (copies === 0 ? 1 / 3 : sum / copies))
  return { file, machine, plate }
}

function sharesOfOneCopy(chances: readonly number[], success: readonly number[]): number[] {
  const shares = [0, 0, 0]
  let total = 0
  for (let failed = 1; failed < stageSets; failed++) {
    const members = stages.flatMap((_, stage) => (failed & (1 << stage) ? [stage] : []))
    const chance = success.reduce((product, p, stage) => product * (members.includes(stage) ? 1 - p : p), 1)
    const weight = (chances[failed] ?? 0) * chance
    total += weight
    for (const stage of members) shares[stage] = (shares[stage] ?? 0) + weight / members.length
  }
  return shares.map((share) => share / total)
}

const cuts = 64

/**
 * P(the period's success now < before), both uncertain: (1/64) sum of P(now < quantile (i - 1/2)/64 of before).
 */
export function periodIsWorse(now: Shape, before: Shape): number {
  let sum = 0
  for (let cut = 0; cut < cuts; cut++) sum += below(now, quantile(before, (cut + 0.5) / cuts))
  return sum / cuts
}

/**
 * P(worse than the printer's earlier periods), each of them counting alike: one bad beginning should not hide that the
 * printer has got worse, nor one lucky period prove it.
 */
function worseThanEarlier(now: Shape, earlier: readonly Shape[]): number {
  if (earlier.length === 0) return 0
  return earlier.reduce((sum, before) => sum + periodIsWorse(now, before), 0) / earlier.length
}

export type SetEvidence<Label extends string = Seen> = {
  /** copies tried of the set, by printer period */
  copiesByPeriod: readonly number[]
  /** all failures of the set */
  failures: Failures<Label>
}

/**
 * Whether a set can't be told from a printer yet: over 80 % of its copies come from one printer period and over half of
 * its failures are "don't know". The computation takes stages for independent and can't see this by itself.
 *
 * @returns the two shares when it can't be told
 */
export function confounded({ copiesByPeriod, failures }: SetEvidence<string>) {
  const copies = copiesByPeriod.reduce((sum, n) => sum + n, 0)
  const failed = failures.reduce((sum, failure) => sum + failure.copies, 0)
  if (copies === 0 || failed === 0) return undefined
  const unknown = failures.reduce((sum, failure) => sum + (failure.seen === "don't know" ? failure.copies : 0), 0)
  const copiesFromOnePeriod = Math.max(...copiesByPeriod) / copies
  const unknownFailures = unknown / failed
  return copiesFromOnePeriod > 0.8 && unknownFailures > 0.5 ? { copiesFromOnePeriod, unknownFailures } : undefined
}
