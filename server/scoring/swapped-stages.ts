// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { stageSets } from './labels.ts'
import type { Layout } from './layout.ts'
import type { Random } from './random.ts'
import type { State } from './state.ts'

/** Two stages change places in a set of failed ones: file and machine, file and plate, machine and plate. */
const swaps = [
  Uint8Array.of(0, 2, 1, 3, 4, 6, 5, 7),
  Uint8Array.of(0, 4, 2, 6, 1, 5, 3, 7),
  Uint8Array.of(0, 1, 4, 5, 2, 3, 6, 7),
] as const

/** Copies of one urn, their chances, and what one more failed copy adds to the odds of the next. */
type Urn = { tried: number; pass: number; fail: number; tie: number }

/**
 * Lets two stages, any two, change places in all failed copies of a plate at once, as often as it should be (Metropolis).
 * Copies that hang together hardly ever go over from one stage to another one by one: the first would leave the others.
 */
export function swapFailedStages(layout: Layout, state: State, random: Random): void {
  const { periodStart, plateStart, printStart } = layout
  for (let period = 0; period < layout.periods.length; period++) {
    const change = periodStart[period]! + state.change[period]!
    for (let plate = periodStart[period]!; plate < periodStart[period + 1]!; plate++) {
      const copies = printStart[plateStart[plate + 1]!]! - printStart[plateStart[plate]!]!
      if (copies < 2) continue
      const { pass, fail } = plate < change ? state.machine : state.worn
      const machine = { tried: layout.tried[plate]!, pass: pass[period]!, fail: fail[period]!, tie: state.tie[1]! }
      swapOnPlate(layout, state, plate, machine, swaps[Math.floor(3 * random.uniform())]!, random)
    }
  }
}

function swapOnPlate(
  layout: Layout,
  state: State,
  plate: number,
  machine: Urn,
  swap: Uint8Array,
  random: Random,
): void {
  const { failed, tie, file, chancesOfSeen, fileFailures, machineFailures, plateFailures } = state
  const [first, last] = [layout.plateStart[plate]!, layout.plateStart[plate + 1]!]
  let log = 0
  let [machineBad, plateBad, moved] = [0, 0, 0]
  for (let print = first; print < last; print++) {
    const line = layout.line[print]!
    let fileBad = 0
    for (let copy = layout.printStart[print]!; copy < layout.printStart[print + 1]!; copy++) {
      const [before, after] = [failed[copy]!, swap[failed[copy]!]!]
      fileBad += after & 1
      machineBad += (after >> 1) & 1
      plateBad += after >> 2
      if (before === after) continue
      moved++
      const row = stageSets * layout.seen[copy]!
      log += Math.log(chancesOfSeen[row + after]! / chancesOfSeen[row + before]!)
    }
    const ofFile = { tried: layout.printTried[print]!, pass: file.pass[line]!, fail: file.fail[line]!, tie: tie[0]! }
    log += gain(ofFile, fileFailures[print]!, fileBad)
  }
  if (moved === 0) return
  const crowding = layout.crowding[plate]!
  const { pass, fail } = state.plate
  const ofPlate = { tried: machine.tried, pass: pass[crowding]!, fail: fail[crowding]!, tie: tie[2]! }
  log += gain(machine, machineFailures[plate]!, machineBad) + gain(ofPlate, plateFailures[plate]!, plateBad)
  if (!(Math.log(random.uniform()) < log)) return
  machineFailures[plate] = machineBad
  plateFailures[plate] = plateBad
  for (let print = first; print < last; print++) {
    let fileBad = 0
    for (let copy = layout.printStart[print]!; copy < layout.printStart[print + 1]!; copy++) {
      failed[copy] = swap[failed[copy]!]!
      fileBad += failed[copy]! & 1
    }
    fileFailures[print] = fileBad
  }
}

/** By how much likelier, as a logarithm, an urn's outcome is when `after` of its copies fail instead of `before`. */
function gain({ tried, pass, fail, tie }: Urn, before: number, after: number): number {
  let log = 0
  for (let bad = Math.min(before, after); bad < Math.max(before, after); bad++) {
    log += Math.log((fail + tie * bad) / (pass + tie * (tried - bad - 1)))
  }
  return after > before ? log : -log
}
