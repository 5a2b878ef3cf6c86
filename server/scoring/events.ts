// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import type { Layout } from './layout.ts'
import type { Random } from './random.ts'
import { machineOn, type State } from './state.ts'

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

/** Step 2: into how many events the copies of every urn fall; by line, crowding, and plate for its machine. */
export function drawAllEvents(layout: Layout, state: State, random: Random): void {
  const { line: lines, fileWeight, printTried, tried, period, crowding } = layout
  const { file, plate, fileEvents, machineEvents, plateEvents } = state
  const [fileTie, machineTie, plateTie] = [state.tie[0]!, state.tie[1]!, state.tie[2]!]
  for (const events of [fileEvents.passed, fileEvents.failed, plateEvents.passed, plateEvents.failed]) events.fill(0)
  for (let print = 0; print < lines.length; print++) {
    const line = lines[print]!
    const bad = state.fileFailures[print]!
    const passed = drawEvents(printTried[print]! - bad, file.pass[line]!, fileTie, random)
    const failed = drawEvents(bad, file.fail[line]!, fileTie, random)
    fileEvents.passed[line]! += fileWeight[print]! * passed
    fileEvents.failed[line]! += fileWeight[print]! * failed
  }
  for (let at = 0; at < tried.length; at++) {
    const node = crowding[at]!
    const bad = state.plateFailures[at]!
    plateEvents.passed[node]! += drawEvents(tried[at]! - bad, plate.pass[node]!, plateTie, random)
    plateEvents.failed[node]! += drawEvents(bad, plate.fail[node]!, plateTie, random)
  }
  for (let at = 0; at < tried.length; at++) {
    const { pass, fail } = machineOn(at, layout, state)
    const bad = state.machineFailures[at]!
    machineEvents.passed[at] = drawEvents(tried[at]! - bad, pass[period[at]!]!, machineTie, random)
    machineEvents.failed[at] = drawEvents(bad, fail[period[at]!]!, machineTie, random)
  }
}
