// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { Chain, type Sums } from './chain.ts'
import type { PlateColumns } from './columns.ts'
import { type Convergence, convergenceOf } from './convergence.ts'
import { drawCount, drawsOf, emptyGroupDraws, type GroupDraws, keptOf, quantised } from './draws.ts'
import { type LabelTable, seenLabels, type Table, tableOf } from './labels.ts'
import { columnsOf, type Layout, layOutPart } from './layout.ts'
import { crowdings, platePriors, startingHyper } from './model.ts'
import type { Plate } from './plates.ts'
import { Random } from './random.ts'
import { type GroupState, hyperAt, type State } from './state.ts'

export type FitOptions = {
  labels?: LabelTable
  /** keeps hyperparameters and table at their start, copies independent and machines without wear: to check the sampler */
  hold?: boolean
  /** by chain, those that count; as the size of the group has it when left out */
  sweeps?: number
  /** draws to be kept, of both chains together; even */
  kept?: number
  /** twice as many sweeps, after a fit whose chains did not agree */
  longer?: boolean
  seed?: number
}

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

const chains = 2
/** So many more are run before those that count, for a chain to find its way. */
const findingItsWay = 0.3
const mostSweeps = 800
const leastSweeps = 200
/** Plates up to which the most sweeps are run. */
const smallGroup = 3000

/** How many sweeps of each chain count, by size of the group. */
export function sweepsFor(plates: number): number {
  return Math.round(
    Math.max(leastSweeps, Math.min(mostSweeps, mostSweeps * Math.sqrt(smallGroup / Math.max(1, plates)))),
  )
}

/**
 * Samples a group's posterior by two chains that start from the priors. Always the same seed, and plates are put in order
 * first, so that the same plates give the same figures.
 *
 * @param plates a list, or for a large group their columns, with the same labels
 * @throws RangeError for plates or labels that make no sense
 */
export function fitGroup(plates: readonly Plate[] | PlateColumns, options: FitOptions = {}): Fitted {
  const { labels = seenLabels, hold = false, longer = false, seed = 1 } = options
  const table = tableOf(labels, !hold)
  const columns = columnsOf(plates, table.labels)
  const layout = layOutPart(columns, 1)
  const counted = (options.sweeps ?? sweepsFor(layout.plateIds.length)) * (longer ? 2 : 1)
  const kept = new Kept(layout, table, options.kept ?? drawCount, counted)
  const before = Math.ceil(findingItsWay * counted)
  for (let chain = 0; chain < chains; chain++) {
    const random = new Random(seed + 7919 * chain)
    const held = hold ? { hyper: startingHyper, table } : undefined
    const found = held ? undefined : findTheGroup(columns, table, random)
    const sampler = new Chain(layout, { random, table, held, found })
    for (let sweep = 0; sweep < before; sweep++) sampler.sweep()
    for (let sweep = 0; sweep < counted; sweep++) {
      sampler.sweep(kept.sums)
      kept.keep(chain, sweep, sampler.state, random)
    }
  }
  return kept.result(chains * (before + counted))
}

/** Parts of a large group on which a chain finds its way first, by their plates; and how many sweeps it takes there. */
const parts = [
  { plates: 2500, sweeps: 400 },
  { plates: 20_000, sweeps: 120 },
] as const
/** A part is worth it where the whole is so many times as large. */
const muchLarger = 2

/**
 * What a large group as a whole is like, from the priors by way of its parts: a sweep moves that the less the more plates
 * there are, and takes the longer. A part is every so-manieth upkeep period with all of its plates.
 */
function findTheGroup(columns: PlateColumns, table: Table, random: Random): GroupState | undefined {
  let found: GroupState | undefined
  for (const part of parts) {
    const { length } = columns.plateIds
    if (length < muchLarger * part.plates) break
    const layout = layOutPart(columns, Math.ceil(length / part.plates))
    const chain = new Chain(layout, { random, table, found })
    for (let sweep = 0; sweep < part.sweeps; sweep++) chain.sweep()
    found = chain.state
  }
  return found
}

/** What is kept of both chains. */
class Kept {
  readonly sums: Sums
  readonly #layout: Layout
  readonly #count: number
  readonly #sweeps: number
  readonly #group: GroupDraws
  readonly #lines: Uint16Array
  readonly #periods: Uint16Array
  readonly #sculptors: Uint16Array
  readonly #isWeighted: boolean

  constructor(layout: Layout, table: Table, count: number, sweeps: number) {
    this.#layout = layout
    this.#count = count
    this.#sweeps = sweeps
    this.#group = emptyGroupDraws(table.labels, count)
    this.#lines = new Uint16Array(count * layout.lines.length)
    this.#periods = new Uint16Array(count * layout.periods.length)
    this.#sculptors = new Uint16Array(count * layout.sculptors.length)
    this.#isWeighted =
      layout.plateWeight.some((weight) => weight < 1) ||
      layout.shownWeight.some((weight, print) => weight < layout.fileWeight[print]!)
    this.sums = {
      blame: { file: new Float64Array(layout.line.length), machine: new Float64Array(layout.line.length) },
      worn: new Float64Array(layout.crowding.length),
    }
  }

  /** @param sweep of those that count */
  keep(chain: number, sweep: number, state: State, random: Random): void {
    const each = this.#count / chains
    const before = Math.floor((sweep * each) / this.#sweeps)
    const now = Math.floor(((sweep + 1) * each) / this.#sweeps)
    for (let place = before; place < now; place++) this.#keepAt(chain * each + place, state, random)
  }

  #keepAt(draw: number, state: State, random: Random): void {
    this.#keepGroup(draw, state)
    this.#keepLines(draw, state, random)
    const { periodStart, periods } = this.#layout
    for (let period = 0; period < periods.length; period++) {
      const isWorn = state.change[period]! < periodStart[period + 1]! - periodStart[period]!
      const { pass, fail } = isWorn ? state.worn : state.machine
      this.#periods[this.#count * period + draw] = quantised(pass[period]!, fail[period]!)
    }
    const { pass, fail } = state.mu
    for (let sculptor = 0; sculptor < pass.length; sculptor++) {
      this.#sculptors[this.#count * sculptor + draw] = quantised(pass[sculptor]!, fail[sculptor]!)
    }
    this.#keepPlates(draw, state, random)
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
    group.byCause.set(state.byCause, draw * state.byCause.length)
  }

  /** For show, one member's many copies count for less than in the chain, which else would take all for alike. */
  #keepLines(draw: number, { hyper, mu, file, shownFileEvents: shown }: State, random: Random): void {
    const { sculptorStart } = this.#layout
    const { k } = hyperAt(hyper)
    for (let sculptor = 0; sculptor < mu.pass.length; sculptor++) {
      for (let line = sculptorStart[sculptor]!; line < sculptorStart[sculptor + 1]!; line++) {
        const at = this.#count * line + draw
        if (this.#isWeighted) {
          const [a, b] = [k * mu.pass[sculptor]! + shown.passed[line]!, k * mu.fail[sculptor]! + shown.failed[line]!]
          this.#lines[at] = quantised(1, random.betaOdds(a, b))
        } else this.#lines[at] = quantised(file.pass[line]!, file.fail[line]!)
      }
    }
  }

  #keepPlates(draw: number, { plate, shownPlateEvents: shown }: State, random: Random): void {
    crowdings.forEach((crowding, index) => {
      const [a, b] = platePriors[crowding]
      this.#group.plates[crowding][draw] = this.#isWeighted
        ? random.beta(a + shown.passed[index]!, b + shown.failed[index]!)
        : plate.pass[index]!
    })
  }

  result(sweeps: number): Fitted {
    const { layout: _, ...rows } = {
      layout: this.#layout,
      lines: this.#lines,
      periods: this.#periods,
      sculptors: this.#sculptors,
    }
    const counted = chains * this.#sweeps
    return {
      layout: this.#layout,
      group: this.#group,
      ...rows,
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

function copiesOf({ lines, line, printTried, shownWeight }: Layout): Float64Array {
  const copies = new Float64Array(lines.length)
  for (let print = 0; print < line.length; print++) copies[line[print]!]! += shownWeight[print]! * printTried[print]!
  return copies
}
