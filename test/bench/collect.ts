import { Evidence } from '../../server/scoring/evidence.ts'
import type { Report } from '../../server/scoring/reports.ts'
import { timed } from './measure.ts'

/** Reports come so many at a time, as from a database's cursor. */
const portion = 1000

/** Collects reports. @returns also how long that took, without the time in which they were made up */
export function collect(reports: Iterable<Report>): { evidence: Evidence; ms: number } {
  const evidence = new Evidence()
  let ms = 0
  let waiting: Report[] = []
  const addWaiting = () => {
    for (const report of waiting) evidence.add(report)
  }
  for (const report of reports) {
    if (waiting.push(report) < portion) continue
    ms += timed(addWaiting).ms
    waiting = []
  }
  return { evidence, ms: ms + timed(addWaiting).ms }
}
