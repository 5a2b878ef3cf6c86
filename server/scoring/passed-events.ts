// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import type { TiedReports } from './tied-reports.ts'
import { expectedEvents, manyCopies } from './ties.ts'

/**
 * Into how many events the copies fall that passed a node: as many as are expected at its present success. Most copies
 * pass, so that drawing each would take most of the time, and what one draw is off by the next ones make up for.
 */
export class PassedEvents {
  readonly #size: number
  /** by node, where its numbers start: for 0, 1, … copies, as many as any of its plates has */
  readonly #start: Int32Array
  readonly #events: Float64Array
  #chances: Float64Array = new Float64Array()

  /** @param nodes three a report @param size see sizeOfTies */
  constructor({ tried, nodeCount }: TiedReports, nodes: Int32Array, size: number) {
    const most = new Int32Array(nodeCount)
    nodes.forEach((node, at) => {
      most[node] = Math.max(most[node]!, Math.min(manyCopies, tried[Math.floor(at / 3)]!))
    })
    this.#size = size
    this.#start = new Int32Array(nodeCount + 1)
    most.forEach((copies, node) => {
      this.#start[node + 1] = this.#start[node]! + copies + 1
    })
    this.#events = new Float64Array(this.#start[nodeCount]!)
  }

  /** @param chances to pass and to fail of every node, at which numbers are asked for from here on */
  follow(chances: Float64Array): void {
    this.#chances = chances
    const isTied = this.#size !== Number.POSITIVE_INFINITY
    for (let node = 0; node < this.#start.length - 1; node++) {
      const [from, to] = [this.#start[node]!, this.#start[node + 1]!]
      const own = this.#size * chances[2 * node]!
      for (let at = from + 1; at < to; at++) {
        this.#events[at] = this.#events[at - 1]! + (isTied ? own / (own + at - from - 1) : 1)
      }
    }
  }

  at(node: number, copies: number): number {
    if (copies <= manyCopies) return this.#events[this.#start[node]! + copies]!
    return expectedEvents(copies, this.#chances[2 * node]!, this.#size)
  }
}
