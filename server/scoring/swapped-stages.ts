// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { stageSets } from './labels.ts'
import type { Layout } from './layout.ts'
import type { Random } from './random.ts'
import { type Chances, machineOn, type State } from './state.ts'

/** Two stages change places in a set of failed ones: file and machine, file and plate, machine and plate. */
const swaps = [
  Uint8Array.of(0, 2, 1, 3, 4, 6, 5, 7),
  Uint8Array.of(0, 4, 2, 6, 1, 5, 3, 7),
  Uint8Array.of(0, 1, 4, 5, 2, 3, 6, 7),
] as const

/**
 * Lets two stages, any two, change places in all failed copies of a plate at once, as often as it should be (Metropolis).
 * Copies that hang together hardly ever go over from one stage to another one by one: the first would leave the others.
 */
export function swapFailedStages(layout: Layout, state: State, random: Random): void {
  const { plateStart, printStart } = layout
  for (let plate = 0; plate < layout.crowding.length; plate++) {
    if (printStart[plateStart[plate + 1]!]! - printStart[plateStart[plate]!]! < 2) continue
    swapOnPlate(plate, layout, state, swaps[Math.floor(3 * random.uniform())]!, random)
  }
}

function swapOnPlate(plate: number, layout: Layout, state: State, swap: Uint8Array, random: Random): void {
  const { printStart, printTried, line, tried, period, crowding, seen } = layout
  const { failed, tie, chancesOfSeen, fileFailures, machineFailures, plateFailures } = state
  const [first, last] = [layout.plateStart[plate]!, layout.plateStart[plate + 1]!]
  let log = 0
  let [machineBad, plateBad, moved] = [0, 0, 0]
  for (let print = first; print < last; print++) {
    let fileBad = 0
    for (let copy = printStart[print]!; copy < printStart[print + 1]!; copy++) {
      const before = failed[copy]!
      const after = swap[before]!
      fileBad += after & 1
      machineBad += (after >> 1) & 1
      plateBad += after >> 2
      if (before === after) continue
      moved++
      const row = stageSets * seen[copy]!
      log += Math.log(chancesOfSeen[row + after]! / chancesOfSeen[row + before]!)
    }
    log += gain(printTried[print]!, state.file, line[print]!, tie[0]!, fileFailures[print]!, fileBad)
  }
  if (moved === 0) return
  const machine = machineOn(plate, layout, state)
  log +=
    gain(tried[plate]!, machine, period[plate]!, tie[1]!, machineFailures[plate]!, machineBad) +
    gain(tried[plate]!, state.plate, crowding[plate]!, tie[2]!, plateFailures[plate]!, plateBad)
  if (!(Math.log(random.uniform()) < log)) return
  machineFailures[plate] = machineBad
  plateFailures[plate] = plateBad
  for (let print = first; print < last; print++) {
    fileFailures[print] = 0
    for (let copy = printStart[print]!; copy < printStart[print + 1]!; copy++) {
      failed[copy] = swap[failed[copy]!]!
      fileFailures[print]! += failed[copy]! & 1
    }
  }
}

/** By how much likelier, as a logarithm, an urn's outcome is when `after` of its copies fail instead of `before`. */
function gain(tried: number, { pass, fail }: Chances, node: number, tie: number, before: number, after: number) {
  let log = 0
  for (let bad = Math.min(before, after); bad < Math.max(before, after); bad++) {
    log += Math.log((fail[node]! + tie * bad) / (pass[node]! + tie * (tried - bad - 1)))
  }
  return after > before ? log : -log
}
