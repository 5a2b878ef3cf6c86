// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import type { Fit } from '../../server/scoring/fit.ts'
import { seen as labels, type Seen } from '../../server/scoring/labels.ts'
import type { Message } from '../../server/scoring/network.ts'
import type { Report } from '../../server/scoring/reports.ts'
import { numberOf, reportsOf, type Size } from './world.ts'

/** The messages that a fit has left, as a database would hold them: where the garbage collector does not look. */
export class StoredMessages {
  /** where a report's first failure is; one more at the end */
  readonly #start: Int32Array
  readonly #label: Uint8Array
  readonly #messages: Float64Array

  constructor(size: Size, fit: Fit) {
    this.#start = new Int32Array(size.reports + 1)
    const label: number[] = []
    for (const { id, failures } of reportsOf(size)) {
      for (const { seen } of failures) label.push(labels.indexOf(seen))
      this.#start[numberOf(id) + 1] = label.length
    }
    this.#label = Uint8Array.from(label)
    this.#messages = new Float64Array(6 * label.length)
    for (const { reportId = '', seen, message } of fit.sites()) {
      this.#messages.set(message, 6 * this.#placeOf(numberOf(reportId), seen as Seen))
    }
  }

  #placeOf(report: number, seen: Seen): number {
    return this.#label.indexOf(labels.indexOf(seen), this.#start[report])
  }

  /** @returns null for a failure of a report that is newer than the fit */
  messageOf(report: number, seen: Seen): Message | null {
    if (report >= this.#start.length - 1) return null
    const at = 6 * this.#placeOf(report, seen)
    const part = (index: number) => this.#messages[at + index]!
    return [part(0), part(1), part(2), part(3), part(4), part(5)]
  }
}

/** Reports with what an earlier fit has made of them. */
export function* withMessages(reports: Iterable<Report & { id: string }>, stored: StoredMessages): Generator<Report> {
  for (const report of reports) {
    const number = numberOf(report.id)
    const failures = report.failures.map((one) => ({ ...one, message: stored.messageOf(number, one.seen) }))
    yield { ...report, failures }
  }
}
