// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { stageSets } from './labels.ts'
import type { Layout } from './layout.ts'
import type { Random } from './random.ts'
import { machineOn, type State } from './state.ts'

/** Sums of blame by print, over the sweeps that counted: how much of each copy's failure was the file's, the machine's. */
export type Blame = { file: Float64Array; machine: Float64Array }

/** Each failed stage of a set bears the same share. */
const shareOfFile = Float64Array.of(0, 1, 0, 1 / 2, 0, 1 / 2, 0, 1 / 3)
const shareOfMachine = Float64Array.of(0, 0, 1, 1 / 2, 0, 0, 1 / 2, 1 / 3)

/**
 * Step 1: draws for every failed copy which stages failed, given its plate's other copies. A copy that has no cause yet
 * (the first time) and those after it say nothing.
 *
 * @param blame where to add the shares of what is drawn, while sweeps count
 */
export function drawFailedStages(layout: Layout, state: State, random: Random, blame: Blame | undefined): void {
  const { plateStart, printStart } = layout
  for (let plate = 0; plate < layout.crowding.length; plate++) {
    if (printStart[plateStart[plate]!] === printStart[plateStart[plate + 1]!]) continue
    drawOfPlate(plate, layout, state, random, blame)
  }
}

/** Weights of the sets of failed stages, added up. */
const sums = new Float64Array(stageSets)

function drawOfPlate(plate: number, layout: Layout, state: State, random: Random, blame: Blame | undefined): void {
  const { plateStart, printStart, printTried, seen } = layout
  const { file, plate: plates, failed, chancesOfSeen, machineFailures, plateFailures } = state
  const [fileTie, machineTie, plateTie] = [state.tie[0]!, state.tie[1]!, state.tie[2]!]
  const machines = machineOn(plate, layout, state)
  const [period, crowding] = [layout.period[plate]!, layout.crowding[plate]!]
  const lastCopy = printStart[plateStart[plate + 1]!]!
  let [machineBad, plateBad] = [machineFailures[plate]!, plateFailures[plate]!]
  for (let print = plateStart[plate]!; print < plateStart[plate + 1]!; print++) {
    const line = layout.line[print]!
    const end = printStart[print + 1]!
    let fileBad = state.fileFailures[print]!
    let [fileShare, machineShare] = [0, 0]
    for (let copy = printStart[print]!; copy < end; copy++) {
      const before = failed[copy]!
      fileBad -= before & 1
      machineBad -= (before >> 1) & 1
      plateBad -= before >> 2
      const others = layout.tried[plate]! - (before === 0 ? lastCopy - copy : 1)
      const othersOfPrint = printTried[print]! - (before === 0 ? end - copy : 1)
      const fPass = file.pass[line]! + fileTie * (othersOfPrint - fileBad)
      const fFail = file.fail[line]! + fileTie * fileBad
      const mPass = machines.pass[period]! + machineTie * (others - machineBad)
      const mFail = machines.fail[period]! + machineTie * machineBad
      const pPass = plates.pass[crowding]! + plateTie * (others - plateBad)
      const pFail = plates.fail[crowding]! + plateTie * plateBad
      const row = stageSets * seen[copy]!
      let sum = 0
      for (let set = 1; set < stageSets; set++) {
        const ofFile = chancesOfSeen[row + set]! * (set & 1 ? fFail : fPass)
        sum += ofFile * (set & 2 ? mFail : mPass) * (set & 4 ? pFail : pPass)
        sums[set] = sum
      }
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
    if (!blame) continue
    blame.file[print]! += fileShare
    blame.machine[print]! += machineShare
  }
  machineFailures[plate] = machineBad
  plateFailures[plate] = plateBad
}
