// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { emptySums, type Sums } from './chain.ts'
import { type Convergence, convergenceOf } from './convergence.ts'
import { drawsOf, keptOf, quantised } from './draws.ts'
import { emptyGroupDraws, type GroupDraws, keepGroup } from './group-draws.ts'
import type { Table } from './labels.ts'
import type { Layout } from './layout.ts'
import { machineOn, type State } from './state.ts'

export const chains = 2

/** A group's posterior as draws. Rows stand in the order of `layout`. */
export type Fitted = {
  layout: Layout
  group: GroupDraws
  /** 16 bits a draw (draws.ts), `group.count` of them a row: success of lines, of periods at their last plate, and mu */
  lines: Uint16Array
  periods: Uint16Array
  sculptors: Uint16Array
  /** copies' worth of reports behind a line */
  copies: Float64Array
  /** by plate, the chance that its machine was worn */
  worn: Float32Array
  /** by print with failures, the share of the file and of the machine; the plate's is what is left */
  blame: { file: Float32Array; machine: Float32Array }
  /** sweeps of both chains, those that let them find their way included */
  sweeps: number
  /** of what the group is like, by name; and of the line or period on which the chains agree least */
  convergence: { hyper: Record<string, Convergence>; worst: Convergence & { node: string } }
}

/** What is kept of both chains, while they run. */
export class Kept {
  readonly sums: Sums
  readonly #layout: Layout
  readonly #sweeps: number
  readonly #group: GroupDraws
  readonly #lines: Uint16Array
  readonly #periods: Uint16Array
  readonly #sculptors: Uint16Array

  /**
   * @param count of the draws that are kept of both chains
   * @param sweeps of each chain that count
   */
  constructor(layout: Layout, { labels }: Table, count: number, sweeps: number) {
    this.sums = emptySums(layout)
    this.#layout = layout
    this.#sweeps = sweeps
    this.#group = emptyGroupDraws(labels, count)
    this.#lines = new Uint16Array(count * layout.lines.length)
    this.#periods = new Uint16Array(count * layout.periods.length)
    this.#sculptors = new Uint16Array(count * layout.sculptors.length)
  }

  /** @param sweep of those that count */
  keep(chain: number, sweep: number, state: State): void {
    const each = this.#group.count / chains
    const before = Math.floor((sweep * each) / this.#sweeps)
    const now = Math.floor(((sweep + 1) * each) / this.#sweeps)
    for (let place = before; place < now; place++) this.#keepAt(chain * each + place, state)
  }

  #keepAt(draw: number, state: State): void {
    const { periodStart } = this.#layout
    keepGroup(this.#group, draw, state, state.plate.pass)
    this.#keepRow(this.#lines, draw, () => state.file)
    this.#keepRow(this.#sculptors, draw, () => state.mu)
    this.#keepRow(this.#periods, draw, (period) => machineOn(periodStart[period + 1]! - 1, this.#layout, state))
  }

  #keepRow(kept: Uint16Array, draw: number, chancesOf: (node: number) => State['file']): void {
    const { count } = this.#group
    for (let node = 0; node < kept.length / count; node++) {
      const { pass, fail } = chancesOf(node)
      kept[count * node + draw] = quantised(pass[node]!, fail[node]!)
    }
  }

  result(sweeps: number): Fitted {
    const layout = this.#layout
    const { blame, worn } = this.sums
    const counted = chains * this.#sweeps
    const share = (sum: number, print: number) => {
      return sum === 0 ? 0 : sum / ((layout.printStart[print + 1]! - layout.printStart[print]!) * counted)
    }
    const copies = new Float64Array(layout.lines.length)
    layout.line.forEach((line, print) => {
      copies[line]! += layout.fileWeight[print]! * layout.printTried[print]!
    })
    return {
      layout,
      group: this.#group,
      lines: this.#lines,
      periods: this.#periods,
      sculptors: this.#sculptors,
      copies,
      worn: Float32Array.from(worn, (sum) => sum / counted),
      blame: { file: Float32Array.from(blame.file, share), machine: Float32Array.from(blame.machine, share) },
      sweeps,
      convergence: { hyper: this.#convergenceOfGroup(), worst: this.#worst() },
    }
  }

  #convergenceOfGroup(): Record<string, Convergence> {
    const { mu0, k0, k, am, bm, hazard, blind, ties } = this.#group
    const rows = { mu0, k0, k, am, bm, hazard, blind, tieOfFile: ties[0], tieOfMachine: ties[1], tieOfPlate: ties[2] }
    return Object.fromEntries(Object.entries(rows).map(([name, row]) => [name, convergenceOf(byChain(row))]))
  }

  #worst(): Fitted['convergence']['worst'] {
    const { lines, periods } = this.#layout
    const { count } = this.#group
    let worst = { node: '', rhat: 1, effectiveSize: count }
    for (const [names, kept] of [
      [lines, this.#lines],
      [periods, this.#periods],
    ] as const) {
      names.forEach((node, index) => {
        const found = convergenceOf(byChain(drawsOf(keptOf(kept, index, count))))
        if (found.rhat > worst.rhat) worst = { node, ...found }
      })
    }
    return worst
  }
}

function byChain(draws: Float64Array): Float64Array[] {
  const each = draws.length / chains
  return Array.from({ length: chains }, (_, chain) => draws.subarray(chain * each, (chain + 1) * each))
}
