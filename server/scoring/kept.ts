// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import type { Sums } from './chain.ts'
import { type Convergence, convergenceOf } from './convergence.ts'
import { drawsOf, keptOf, quantised } from './draws.ts'
import { emptyGroupDraws, type GroupDraws, keepGroup } from './group-draws.ts'
import type { Layout } from './layout.ts'
import { hyperAt, priors, remembered, type Shape } from './model.ts'
import type { Random } from './random.ts'
import type { Chances, State } from './state.ts'

export const chains = 2

/** Room for so many draws of both chains together. */
export function roomFor(layout: Layout, labels: readonly string[], count: number) {
  return {
    layout,
    group: emptyGroupDraws(labels, count),
    /** 16 bits a draw (draws.ts), `group.count` of them a row: success of lines, of periods at their last plate, and mu */
    lines: new Uint16Array(count * layout.lines.length),
    periods: new Uint16Array(count * layout.periods.length),
    sculptors: new Uint16Array(count * layout.sculptors.length),
  }
}

/** What is kept of both chains, as draws. Rows stand in the order of `layout`. */
export type Kept = ReturnType<typeof roomFor>

/** A group's posterior. */
export type Fitted = ReturnType<typeof fittedOf>

/** Keeps where a chain stands as one of the draws. */
export function keepDraw(kept: Kept, draw: number, state: State, random: Random): void {
  const { layout, group, lines, periods, sculptors } = kept
  const keepRow = (row: Uint16Array, { pass, fail }: Chances) => {
    for (let node = 0; node < pass.length; node++) row[group.count * node + draw] = quantised(pass[node]!, fail[node]!)
  }
  keepGroup(group, draw, state, state.plate.pass)
  keepRow(lines, state.file)
  keepRow(sculptors, state.mu)
  if (state.isHeld) keepRow(periods, state.machine)
  else
    for (let period = 0; period < layout.periods.length; period++) {
      const odds = random.betaOdds(...machineNow(period, layout, state))
      periods[group.count * period + draw] = quantised(1, odds)
    }
}

/** Success as it is now: the plates before tell the less of it the longer ago they were. */
function machineNow(period: number, { periodStart }: Layout, { hyper, change, machineEvents }: State): Shape {
  const { passed, failed } = machineEvents
  const [first, end] = [periodStart[period]!, periodStart[period + 1]!]
  const isWorn = first + change[period]! < end
  const from = isWorn ? first + change[period]! : first
  const { am, bm } = hyperAt(hyper)
  let [a, b]: Shape = isWorn ? priors.worn : [am, bm]
  const still = isWorn ? remembered.worn : remembered.inOrder
  for (let plate = end - 1, weight = 1; plate >= from; plate--, weight *= still) {
    a += weight * passed[plate]!
    b += weight * failed[plate]!
  }
  return [a, b]
}

/** @param counted sweeps of both chains that have added to `sums`, of all that were run */
export function fittedOf(kept: Kept, { blame, worn }: Sums, counted: number, sweeps: number) {
  const { printStart, lines, line, fileWeight, printTried } = kept.layout
  const share = (sum: number, print: number) => {
    return sum === 0 ? 0 : sum / ((printStart[print + 1]! - printStart[print]!) * counted)
  }
  const copies = new Float64Array(lines.length)
  line.forEach((number, print) => {
    copies[number]! += fileWeight[print]! * printTried[print]!
  })
  return {
    ...kept,
    /** copies' worth of reports behind a line */
    copies,
    /** by plate, the chance that its machine was worn */
    worn: Float32Array.from(worn, (sum) => sum / counted),
    /** by print with failures, the share of the file and of the machine; the plate's is what is left */
    blame: { file: Float32Array.from(blame.file, share), machine: Float32Array.from(blame.machine, share) },
    /** of both chains, those that let them find their way included */
    sweeps,
    /** of what the group is like, by name; and of the line or period on which the chains agree least */
    convergence: { hyper: convergenceOfGroup(kept.group), worst: worstOf(kept) },
  }
}

function convergenceOfGroup({ mu0, k0, k, am, bm, hazard, blind, ties }: GroupDraws): Record<string, Convergence> {
  const rows = { mu0, k0, k, am, bm, hazard, blind, tieOfFile: ties[0], tieOfMachine: ties[1], tieOfPlate: ties[2] }
  return Object.fromEntries(Object.entries(rows).map(([name, row]) => [name, convergenceOf(byChain(row))]))
}

function worstOf({ layout, group, lines, periods }: Kept): Convergence & { node: string } {
  let worst = { node: '', rhat: 1, effectiveSize: group.count }
  const look = (names: readonly string[], kept: Uint16Array) => {
    names.forEach((node, index) => {
      const found = convergenceOf(byChain(drawsOf(keptOf(kept, index, group.count))))
      if (found.rhat > worst.rhat) worst = { node, ...found }
    })
  }
  look(layout.lines, lines)
  look(layout.periods, periods)
  return worst
}

function byChain(draws: Float64Array): Float64Array[] {
  const each = draws.length / chains
  return Array.from({ length: chains }, (_, chain) => draws.subarray(chain * each, (chain + 1) * each))
}
