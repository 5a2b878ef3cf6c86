// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { emptySums, type Sums } from './chain.ts'
import { type Convergence, convergenceOf } from './convergence.ts'
import { drawsOf, emptyGroupDraws, type GroupDraws, keptOf, quantised } from './draws.ts'
import type { Table } from './labels.ts'
import type { Layout } from './layout.ts'
import { crowdings } from './model.ts'
import { type Chances, hyperAt, type State } from './state.ts'

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
  readonly #count: number
  readonly #sweeps: number
  readonly #group: GroupDraws
  readonly #lines: Uint16Array
  readonly #periods: Uint16Array
  readonly #sculptors: Uint16Array

  /**
   * @param count of the draws that are kept of both chains
   * @param sweeps of each chain that count
   */
  constructor(layout: Layout, table: Table, { count, sweeps }: { count: number; sweeps: number }) {
    this.#layout = layout
    this.#count = count
    this.#sweeps = sweeps
    this.#group = emptyGroupDraws(table.labels, count)
    this.#lines = new Uint16Array(count * layout.lines.length)
    this.#periods = new Uint16Array(count * layout.periods.length)
    this.#sculptors = new Uint16Array(count * layout.sculptors.length)
    this.sums = emptySums(layout)
  }

  /** @param sweep of those that count */
  keep(chain: number, sweep: number, state: State): void {
    const each = this.#count / chains
    const before = Math.floor((sweep * each) / this.#sweeps)
    const now = Math.floor(((sweep + 1) * each) / this.#sweeps)
    for (let place = before; place < now; place++) this.#keepAt(chain * each + place, state)
  }

  #keepAt(draw: number, state: State): void {
    this.#keepGroup(draw, state)
    this.#keepChances(draw, this.#lines, state.file)
    this.#keepChances(draw, this.#sculptors, state.mu)
    this.#keepPeriods(draw, state)
  }

  #keepChances(draw: number, kept: Uint16Array, { pass, fail }: Chances): void {
    for (let node = 0; node < pass.length; node++) {
      kept[this.#count * node + draw] = quantised(pass[node]!, fail[node]!)
    }
  }

  /** Success at the last plate: worn where the wear began with it or before. */
  #keepPeriods(draw: number, { change, machine, worn }: State): void {
    const { periodStart } = this.#layout
    for (let period = 0; period < change.length; period++) {
      const isWorn = change[period]! < periodStart[period + 1]! - periodStart[period]!
      const { pass, fail } = isWorn ? worn : machine
      this.#periods[this.#count * period + draw] = quantised(pass[period]!, fail[period]!)
    }
  }

  #keepGroup(draw: number, state: State): void {
    const group = this.#group
    const hyper = hyperAt(state.hyper)
    for (const name of ['mu0', 'k0', 'k', 'am', 'bm'] as const) group[name][draw] = hyper[name]
    group.hazard[draw] = state.hazard
    group.blind[draw] = state.blind
    group.ties.forEach((tie, stage) => {
      tie[draw] = state.tie[stage]!
    })
    crowdings.forEach((crowding, index) => {
      group.plates[crowding][draw] = state.plate.pass[index]!
    })
    group.byCause.set(state.byCause, draw * state.byCause.length)
  }

  result(sweeps: number): Fitted {
    const counted = chains * this.#sweeps
    return {
      layout: this.#layout,
      group: this.#group,
      lines: this.#lines,
      periods: this.#periods,
      sculptors: this.#sculptors,
      copies: copiesOf(this.#layout),
      worn: Float32Array.from(this.sums.worn, (sum) => sum / counted),
      blame: this.#blame(counted),
      sweeps,
      convergence: { hyper: this.#convergenceOfHyper(), worst: this.#worst() },
    }
  }

  #blame(counted: number): Fitted['blame'] {
    const { printStart } = this.#layout
    const share = (sum: number, print: number) => {
      const failed = printStart[print + 1]! - printStart[print]!
      return failed === 0 ? 0 : sum / (failed * counted)
    }
    return {
      file: Float32Array.from(this.sums.blame.file, share),
      machine: Float32Array.from(this.sums.blame.machine, share),
    }
  }

  #convergenceOfHyper(): Record<string, Convergence> {
    const { mu0, k0, k, am, bm, hazard, blind, ties } = this.#group
    const rows = { mu0, k0, k, am, bm, hazard, blind, tieOfFile: ties[0], tieOfMachine: ties[1], tieOfPlate: ties[2] }
    return Object.fromEntries(Object.entries(rows).map(([name, row]) => [name, convergenceOf(byChain(row))]))
  }

  #worst(): Fitted['convergence']['worst'] {
    const { lines, periods } = this.#layout
    let worst = { node: '', rhat: 1, effectiveSize: this.#count }
    const look = (names: readonly string[], kept: Uint16Array) => {
      names.forEach((node, index) => {
        const found = convergenceOf(byChain(drawsOf(keptOf(kept, index, this.#count))))
        if (found.rhat > worst.rhat) worst = { node, ...found }
      })
    }
    look(lines, this.#lines)
    look(periods, this.#periods)
    return worst
  }
}

function byChain(draws: Float64Array): Float64Array[] {
  const each = draws.length / chains
  return Array.from({ length: chains }, (_, chain) => draws.subarray(chain * each, (chain + 1) * each))
}

function copiesOf({ lines, line, printTried, fileWeight }: Layout): Float64Array {
  const copies = new Float64Array(lines.length)
  for (let print = 0; print < line.length; print++) copies[line[print]!]! += fileWeight[print]! * printTried[print]!
  return copies
}
