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

function drawOfPlate(plate: number, layout: Layout, state: State, random: Random, blame: Blame | undefined): void {
  const { plateStart, printStart, seen } = layout
  const { failed, chancesOfSeen, tie, machineFailures, plateFailures } = state
  const fileTie = tie[0]!
  const machineTie = tie[1]!
  const plateTie = tie[2]!
  const machines = machineOn(plate, layout, state)
  const period = layout.period[plate]!
  const crowding = layout.crowding[plate]!
  const machinePass = machines.pass[period]!
  const machineFail = machines.fail[period]!
  const platePass = state.plate.pass[crowding]!
  const plateFail = state.plate.fail[crowding]!
  const tried = layout.tried[plate]!
  const lastCopy = printStart[plateStart[plate + 1]!]!
  let machineBad = machineFailures[plate]!
  let plateBad = plateFailures[plate]!
  for (let print = plateStart[plate]!; print < plateStart[plate + 1]!; print++) {
    const start = printStart[print]!
    const end = printStart[print + 1]!
    if (start === end) continue
    const line = layout.line[print]!
    const filePass = state.file.pass[line]!
    const fileFail = state.file.fail[line]!
    const triedOfPrint = layout.printTried[print]!
    let fileBad = state.fileFailures[print]!
    let fileShare = 0
    let machineShare = 0
    for (let copy = start; copy < end; copy++) {
      const before = failed[copy]!
      fileBad -= before & 1
      machineBad -= (before >> 1) & 1
      plateBad -= before >> 2
      const others = tried - (before === 0 ? lastCopy - copy : 1)
      const othersOfPrint = triedOfPrint - (before === 0 ? end - copy : 1)
      const fPass = filePass + fileTie * (othersOfPrint - fileBad)
      const fFail = fileFail + fileTie * fileBad
      const mPass = machinePass + machineTie * (others - machineBad)
      const mFail = machineFail + machineTie * machineBad
      const pPass = platePass + plateTie * (others - plateBad)
      const pFail = plateFail + plateTie * plateBad
      const set = drawSet(chancesOfSeen, stageSets * seen[copy]!, fPass, fFail, mPass, mFail, pPass, pFail, random)
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

/**
 * Draws the set of a copy's failed stages by the weights of all seven.
 *
 * @param chances of what was seen, by set from `row` on
 */
function drawSet(
  chances: Float64Array,
  row: number,
  fPass: number,
  fFail: number,
  mPass: number,
  mFail: number,
  pPass: number,
  pFail: number,
  random: Random,
): number {
  const to1 = chances[row + 1]! * fFail * mPass * pPass
  const to2 = to1 + chances[row + 2]! * fPass * mFail * pPass
  const to3 = to2 + chances[row + 3]! * fFail * mFail * pPass
  const to4 = to3 + chances[row + 4]! * fPass * mPass * pFail
  const to5 = to4 + chances[row + 5]! * fFail * mPass * pFail
  const to6 = to5 + chances[row + 6]! * fPass * mFail * pFail
  const drawn = (to6 + chances[row + 7]! * fFail * mFail * pFail) * random.uniform()
  // Added up rather than looked for: a processor can't foresee where a search ends.
  const upTo3 = Number(drawn > to1) + Number(drawn > to2) + Number(drawn > to3)
  return 1 + upTo3 + Number(drawn > to4) + Number(drawn > to5) + Number(drawn > to6)
}
