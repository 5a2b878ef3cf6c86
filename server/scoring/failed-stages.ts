// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { stageSets } from './labels.ts'
import type { Layout } from './layout.ts'
import type { Random } from './random.ts'
import type { State } from './state.ts'

/** Sums of blame by print, over the sweeps that counted: how much of each copy's failure was the file's, the machine's. */
export type Blame = { file: Float64Array; machine: Float64Array }

/**
 * Step 1: draws for every failed copy which stages failed, given its plate's other copies. A copy that has no cause yet
 * (the first time) and those after it say nothing.
 *
 * @param blame where to add the shares of what is drawn, while sweeps count
 */
export function drawFailedStages(layout: Layout, state: State, random: Random, blame: Blame | undefined): void {
  const { periodStart, plateStart } = layout
  for (let period = 0; period < layout.periods.length; period++) {
    const [first, end] = [periodStart[period]!, periodStart[period + 1]!]
    const change = first + state.change[period]!
    for (let plate = first; plate < end; plate++) {
      const from = layout.printStart[plateStart[plate]!]!
      const to = layout.printStart[plateStart[plate + 1]!]!
      if (from === to) continue
      const machine = plate < change ? state.machine : state.worn
      drawOfPlate(layout, state, random, plate, machine.pass[period]!, machine.fail[period]!, blame)
    }
  }
}

const sums = new Float64Array(stageSets)

function drawOfPlate(
  layout: Layout,
  state: State,
  random: Random,
  plate: number,
  machinePass: number,
  machineFail: number,
  blame: Blame | undefined,
): void {
  const { tie, failed, file, chancesOfSeen } = state
  const [fileTie, machineTie, plateTie] = [tie[0]!, tie[1]!, tie[2]!]
  const crowding = layout.crowding[plate]!
  const [platePass, plateFail] = [state.plate.pass[crowding]!, state.plate.fail[crowding]!]
  const lastCopy = layout.printStart[layout.plateStart[plate + 1]!]!
  let machineBad = state.machineFailures[plate]!
  let plateBad = state.plateFailures[plate]!
  for (let print = layout.plateStart[plate]!; print < layout.plateStart[plate + 1]!; print++) {
    const line = layout.line[print]!
    const [filePass, fileFail] = [file.pass[line]!, file.fail[line]!]
    const end = layout.printStart[print + 1]!
    let fileBad = state.fileFailures[print]!
    let [fileShare, machineShare] = [0, 0]
    for (let copy = layout.printStart[print]!; copy < end; copy++) {
      const before = failed[copy]!
      fileBad -= before & 1
      machineBad -= (before >> 1) & 1
      plateBad -= before >> 2
      const others = layout.tried[plate]! - (before === 0 ? lastCopy - copy : 1)
      const othersOfPrint = layout.printTried[print]! - (before === 0 ? end - copy : 1)
      const fPass = filePass + fileTie * (othersOfPrint - fileBad)
      const fFail = fileFail + fileTie * fileBad
      const mPass = machinePass + machineTie * (others - machineBad)
      const mFail = machineFail + machineTie * machineBad
      const pPass = platePass + plateTie * (others - plateBad)
      const pFail = plateFail + plateTie * plateBad
      const row = stageSets * layout.seen[copy]!
      sums[1] = chancesOfSeen[row + 1]! * fFail * mPass * pPass
      sums[2] = sums[1] + chancesOfSeen[row + 2]! * fPass * mFail * pPass
      sums[3] = sums[2] + chancesOfSeen[row + 3]! * fFail * mFail * pPass
      sums[4] = sums[3] + chancesOfSeen[row + 4]! * fPass * mPass * pFail
      sums[5] = sums[4] + chancesOfSeen[row + 5]! * fFail * mPass * pFail
      sums[6] = sums[5] + chancesOfSeen[row + 6]! * fPass * mFail * pFail
      const sum = sums[6] + chancesOfSeen[row + 7]! * fFail * mFail * pFail
      const drawn = sum * random.uniform()
      let set = 1
      while (set < 7 && drawn > sums[set]!) set++
      failed[copy] = set
      fileBad += set & 1
      machineBad += (set >> 1) & 1
      plateBad += set >> 2
      fileShare += shareOfFile[set]!
      machineShare += shareOfMachine[set]!
    }
    state.fileFailures[print] = fileBad
    if (blame) {
      blame.file[print]! += fileShare
      blame.machine[print]! += machineShare
    }
  }
  state.machineFailures[plate] = machineBad
  state.plateFailures[plate] = plateBad
}

/** Each failed stage of a set bears the same share. */
const shareOfFile = Float64Array.of(0, 1, 0, 1 / 2, 0, 1 / 2, 0, 1 / 3)
const shareOfMachine = Float64Array.of(0, 0, 1, 1 / 2, 0, 0, 1 / 2, 1 / 3)
