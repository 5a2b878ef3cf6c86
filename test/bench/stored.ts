import type { Fit } from '../../server/scoring/fit.ts'
import type { Message } from '../../server/scoring/network.ts'
import type { Report } from '../../server/scoring/reports.ts'
import { numberOf, reportsOf, type Size } from './world.ts'

/** The messages that a fit has left, as a database would hold them: outside of the heap that the collector looks through. */
export class StoredMessages {
  /** where a report's first failure is; one more at the end */
  readonly #start: Int32Array
  readonly #seen: string[] = []
  readonly #messages: Float64Array

  constructor(size: Size, fit: Fit) {
    this.#start = new Int32Array(size.reports + 1)
    let count = 0
    for (const { id, failures } of reportsOf(size)) {
      for (const { seen } of failures) this.#seen[count++] = seen
      this.#start[numberOf(id) + 1] = count
    }
    this.#messages = new Float64Array(6 * count)
    for (const { reportId = '', seen, message } of fit.sites()) {
      this.#messages.set(message, 6 * this.#placeOf(numberOf(reportId), seen))
    }
  }

  #placeOf(report: number, seen: string): number {
    return this.#seen.indexOf(seen, this.#start[report])
  }

  messageOf(report: number, seen: string): Message | null {
    if (report >= this.#start.length - 1) return null
    const at = 6 * this.#placeOf(report, seen)
    return Array.from(this.#messages.subarray(at, at + 6)) as unknown as Message
  }
}

/** Reports with what an earlier fit has made of them; there was none for those that are new. */
export function* withMessages(reports: Iterable<Report & { id: string }>, messages: StoredMessages): Generator<Report> {
  for (const report of reports) {
    const number = numberOf(report.id)
    const failures = report.failures.map((one) => ({ ...one, message: messages.messageOf(number, one.seen) }))
    yield { ...report, failures }
  }
}
