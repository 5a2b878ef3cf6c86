import type { Blame } from './blame.ts'
import { unknown } from './labels.ts'

/** What to do first, as a code with the numbers behind it; the words are the pages'. */
export type Advice =
  | { code: 'look at the printer'; because: 'most of the blame'; share: number }
  | { code: 'look at the printer'; because: 'probably worn'; probability: number }
  | { code: 'fewer copies a plate'; share: number }
  | { code: 'other supports or another file'; share: number }
  | { code: "can't tell the file from that printer yet"; copiesFromOnePeriod: number; unknownFailures: number }

/** A stage that bears more than this of the blame may be called the most likely cause. (SCORING, section 6.) */
export const likelyFrom = 0.6
/** Above these the advice is given. (Common practice, no source.) */
const plateShare = 0.5
const fileShare = 0.5
/** "Wants a look": a film that fades is noticed after 9 plates (median), with about one false alarm in two printer-years (test/study/RESULTS.md). */
export const wantsLook = 0.45

/**
 * What to do first about a plate of which something failed.
 *
 * @param blame of the plate
 * @param worn chance that its machine is worn
 * @returns most pressing first
 */
export function adviceOn(blame: Blame, worn: number, evidence?: LineEvidence): Advice[] {
  const advice: Advice[] = []
  if (blame.machine > likelyFrom) {
    advice.push({ code: 'look at the printer', because: 'most of the blame', share: blame.machine })
  } else if (worn > wantsLook) {
    advice.push({ code: 'look at the printer', because: 'probably worn', probability: worn })
  }
  if (blame.plate > plateShare) advice.push({ code: 'fewer copies a plate', share: blame.plate })
  if (blame.file > fileShare) advice.push({ code: 'other supports or another file', share: blame.file })
  const untold = evidence && confounded(evidence)
  if (untold) advice.push({ code: "can't tell the file from that printer yet", ...untold })
  return advice
}

export type LineEvidence = {
  /** copies tried of the line, by printer period */
  copiesByPeriod: readonly number[]
  /** all failures of the line */
  failures: readonly { seen: string; copies: number }[]
}

/** Of the failed copies, those of which nobody saw what was wrong: over so many of all, a line may be confounded. */
export const unknownShare = 0.5

/**
 * Whether a line can't be told from a printer yet: over 80 % of its copies come from one printer period and over half of
 * its failures are "don't know".
 *
 * @returns the two shares when it can't be told
 */
export function confounded({ copiesByPeriod, failures }: LineEvidence) {
  const copies = copiesByPeriod.reduce((sum, n) => sum + n, 0)
  const failed = failures.reduce((sum, failure) => sum + failure.copies, 0)
  if (copies === 0 || failed === 0) return undefined
  const notKnown = failures.reduce((sum, failure) => sum + (failure.seen === unknown ? failure.copies : 0), 0)
  const copiesFromOnePeriod = Math.max(...copiesByPeriod) / copies
  const unknownFailures = notKnown / failed
  return copiesFromOnePeriod > 0.8 && unknownFailures > unknownShare
    ? { copiesFromOnePeriod, unknownFailures }
    : undefined
}
