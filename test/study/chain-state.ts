import { Chain } from '../../server/scoring/chain.ts'
import { chancesBySet, seenLabels, tableOf } from '../../server/scoring/labels.ts'
import { type Layout, layOut, PlateColumns } from '../../server/scoring/layout.ts'
import { tieOf } from '../../server/scoring/model.ts'
import type { Random } from '../../server/scoring/random.ts'
import { type Chances, type State, startingState } from '../../server/scoring/state.ts'
import { type Chance, type DrawnPlate, drawChance, type Truth } from './drawn-group.ts'

const table = tableOf(seenLabels, true)

/** A chain over drawn plates, as a fit would run it. */
export function chainOf(plates: readonly DrawnPlate[], random: Random) {
  const layout = layOut(new PlateColumns(table.labels, plates))
  return { layout, chain: new Chain(layout, startingState(layout, table, random), table, random) }
}

/** A chain that stands at the truth, failed stages of every copy included. Every line and period has to be on a plate. */
export function chainAtTruth(plates: readonly DrawnPlate[], truth: Truth, random: Random) {
  const layout = layOut(new PlateColumns(table.labels, plates))
  const start = startingState(layout, table, random)
  writeTruth(start, layout, truth)
  writeCauses(start, layout, plates)
  return { layout, chain: new Chain(layout, start, table, random) }
}

function writeTruth(state: State, layout: Layout, truth: Truth): void {
  state.hyper.set(truth.hyper)
  layout.sculptors.forEach((name, at) => {
    write(state.mu, at, truth.mu[numberIn(name)])
  })
  layout.lines.forEach((name, at) => {
    write(state.file, at, truth.lines[numberIn(name)])
  })
  layout.periods.forEach((name, at) => {
    const period = truth.periods[numberIn(name)]
    write(state.machine, at, period?.inOrder)
    write(state.worn, at, period?.worn)
    state.change[at] = period?.change ?? Number.NaN
  })
  truth.plates.forEach((chance, at) => {
    write(state.plate, at, chance)
  })
  state.hazard = truth.hazard
  state.blind = truth.blind
  state.tie.set(truth.rho.map(tieOf))
  state.byCause.set(tableBack(truth.table))
  chancesBySet(state.byCause, state.blind, state.chancesOfSeen)
}

function write(chances: Chances, at: number, chance: Chance | undefined): void {
  chances.pass[at] = Math.max(1e-300, chance?.pass ?? Number.NaN)
  chances.fail[at] = Math.max(1e-300, chance?.fail ?? Number.NaN)
}

function writeCauses(state: State, layout: Layout, plates: readonly DrawnPlate[]): void {
  const causesOf = new Map(plates.map(({ id, causes }) => [id, causes]))
  layout.plateIds.forEach((id, plate) => {
    const causes = causesOf.get(id) ?? []
    const [from, to] = [layout.plateStart[plate] ?? 0, layout.plateStart[plate + 1] ?? 0]
    const first = layout.printStart[from] ?? 0
    state.failed.set(causes, first)
    state.machineFailures[plate] = causes.filter((cause) => cause & 2).length
    state.plateFailures[plate] = causes.filter((cause) => cause & 4).length
    for (let print = from; print < to; print++) {
      const ofPrint = causes.slice((layout.printStart[print] ?? 0) - first, (layout.printStart[print + 1] ?? 0) - first)
      state.fileFailures[print] = ofPrint.filter((cause) => cause & 1).length
    }
  })
}

/**
 * Where a chain stands, in the terms of the simulator. A machine that is not worn yet has a worn success all the same,
 * of which its plates tell nothing: the chain leaves it out, here it is drawn from its prior.
 *
 * @returns lines and periods by their number in the names; undefined where they are on no plate
 */
export function readTruth(state: State, layout: Layout, random: Random): Truth {
  const truth: Truth = {
    hyper: [...state.hyper] as Truth['hyper'],
    mu: [],
    lines: [],
    periods: [],
    plates: [read(state.plate, 0), read(state.plate, 1), read(state.plate, 2)],
    hazard: state.hazard,
    blind: state.blind,
    rho: [...state.tie].map((tie) => tie / (1 + tie)) as Truth['rho'],
    table: [0, 1, 2].map((stage) => table.labels.map((_, label) => state.byCause[3 * label + stage])) as Truth['table'],
  }
  layout.sculptors.forEach((name, at) => {
    truth.mu[numberIn(name)] = read(state.mu, at)
  })
  layout.lines.forEach((name, at) => {
    truth.lines[numberIn(name)] = read(state.file, at)
  })
  layout.periods.forEach((name, at) => {
    const change = state.change[at] ?? 0
    const isWorn = change < (layout.periodStart[at + 1] ?? 0) - (layout.periodStart[at] ?? 0)
    const worn = isWorn ? read(state.worn, at) : drawChance(4, 4, random)
    truth.periods[numberIn(name)] = { inOrder: read(state.machine, at), worn, change }
  })
  return truth
}

function read({ pass, fail }: Chances, at: number): Chance {
  return { pass: pass[at] ?? Number.NaN, fail: fail[at] ?? Number.NaN }
}

const numberIn = (name: string) => Number(name.split(' ')[1])

/** Three numbers a label, as the engine has it. */
const tableBack = (rows: Truth['table']) => table.labels.flatMap((_, label) => rows.map((row) => row[label] ?? 0))
