// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import type { Layout } from './layout.ts'
import type { Random } from './random.ts'
import type { State } from './state.ts'

/**
 * How many of an urn's copies of one fate are events of their own, drawn: the first one is; the i-th further one with
 * chance p / (p + i tie).
 *
 * @param copies that passed (or failed), >= 0
 * @param chance to pass (or to fail)
 * @param tie 1 / a
 * @see Antoniak (1974), Mixtures of Dirichlet processes, Annals of Statistics 2, 1152-1174
 */
export function drawEvents(copies: number, chance: number, tie: number, random: Random): number {
  if (copies <= 1 || tie === 0) return copies
  let events = 1
  for (let further = 1; further < copies; further++) {
    if (random.uniform() * (chance + further * tie) < chance) events++
  }
  return events
}

/** Step 2: into how many events the copies of every urn fall; by line, plate of a period, and crowding. */
export function drawAllEvents(layout: Layout, state: State, random: Random): void {
  state.fileEvents.clear()
  state.plateEvents.clear()
  drawFileEvents(layout, state, random)
  drawPlateEvents(layout, state, random)
  drawMachineEvents(layout, state, random)
}

function drawFileEvents(
  { line: lines, printTried, fileWeight }: Layout,
  { file, tie, fileFailures, fileEvents }: State,
  random: Random,
): void {
  const fileTie = tie[0]!
  for (let print = 0; print < lines.length; print++) {
    const line = lines[print]!
    const bad = fileFailures[print]!
    const passed = drawEvents(printTried[print]! - bad, file.pass[line]!, fileTie, random)
    const failed = drawEvents(bad, file.fail[line]!, fileTie, random)
    fileEvents.passed[line]! += fileWeight[print]! * passed
    fileEvents.failed[line]! += fileWeight[print]! * failed
  }
}

function drawPlateEvents(
  { crowding: crowdings, tried }: Layout,
  { plate: chances, tie, plateFailures, plateEvents }: State,
  random: Random,
): void {
  const plateTie = tie[2]!
  for (let plate = 0; plate < crowdings.length; plate++) {
    const crowding = crowdings[plate]!
    const bad = plateFailures[plate]!
    plateEvents.passed[crowding]! += drawEvents(tried[plate]! - bad, chances.pass[crowding]!, plateTie, random)
    plateEvents.failed[crowding]! += drawEvents(bad, chances.fail[crowding]!, plateTie, random)
  }
}

function drawMachineEvents({ periods, periodStart, tried }: Layout, state: State, random: Random): void {
  const machineTie = state.tie[1]!
  for (let period = 0; period < periods.length; period++) {
    const change = periodStart[period]! + state.change[period]!
    for (let plate = periodStart[period]!; plate < periodStart[period + 1]!; plate++) {
      const { pass, fail } = plate < change ? state.machine : state.worn
      const bad = state.machineFailures[plate]!
      state.machinePassed[plate] = drawEvents(tried[plate]! - bad, pass[period]!, machineTie, random)
      state.machineFailed[plate] = drawEvents(bad, fail[period]!, machineTie, random)
    }
  }
}
