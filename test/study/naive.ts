import { type LabelTable, seenLabels } from '../../server/scoring/labels.ts'
import type { Report } from '../../server/scoring/reports.ts'

/** Copies that came out good, of how many. */
export type Count = { good: number; tried: number }

/** Rules that know nothing of whose fault a failure was, but for the third; all of them count copies. */
export const naiveRules = {
  'raw rate': ({ good, tried }) => (tried === 0 ? 0.5 : good / tried),
  'Beta(1,1)': ({ good, tried }) => (good + 1) / (tried + 2),
  'Beta(1,1), blamed elsewhere dropped': ({ good, tried }) => (good + 1) / (tried + 2),
  'Wilson, lower end of 80 %': ({ good, tried }) => wilson(good, tried, z80)[0],
} as const satisfies Record<string, (count: Count) => number>

export type NaiveRule = keyof typeof naiveRules

/** Of a standard normal, 8 in 10 lie within so much. R: qnorm(.9) */
const z80 = 1.2815515655446004

/**
 * Wilson's score interval for a rate.
 *
 * @param good of tried
 * @param z quantile of the standard normal: 1.96 for 95 %
 * @see Wilson (1927), Probable inference, the law of succession, and statistical inference, JASA 22, 209-212
 */
export function wilson(good: number, tried: number, z: number): [low: number, high: number] {
  if (tried === 0) return [0, 1]
  const rate = good / tried
  const square = (z * z) / tried
  const middle = rate + square / 2
  const half = z * Math.sqrt((rate * (1 - rate)) / tried + square / (4 * tried))
  return [(middle - half) / (1 + square), (middle + half) / (1 + square)]
}

/** All copies of every support set. */
export function countCopies(reports: Iterable<Report<string>>): Map<string, Count> {
  return count(reports, ({ failures }) => failures)
}

/** The same without copies whose look speaks most for the printer or the plate. */
export function countOwnCopies(reports: Iterable<Report<string>>): Map<string, Count> {
  return count(reports, ({ failures }) => failures.filter(({ seen }) => !isBlamedElsewhere(seen)))
}

function count(
  reports: Iterable<Report<string>>,
  failuresOf: (report: Report<string>) => Report<string>['failures'],
): Map<string, Count> {
  const counts = new Map<string, Count>()
  for (const report of reports) {
    const before = counts.get(report.supportSet) ?? { good: 0, tried: 0 }
    const failed = failuresOf(report).reduce((sum, { copies }) => sum + copies, 0)
    counts.set(report.supportSet, { good: before.good + report.good, tried: before.tried + report.good + failed })
  }
  return counts
}

const rows: LabelTable = seenLabels

function isBlamedElsewhere(seen: string): boolean {
  const [file, machine, plate] = rows[seen] ?? [1, 1, 1]
  return machine > file || plate > file
}
