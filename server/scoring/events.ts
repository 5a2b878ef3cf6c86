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
    events += Number(random.uniform() * (chance + further * tie) < chance)
  }
  return events
}

/** Step 2: into how many events the copies of every urn fall; by line, crowding, and plate for its machine. */
export function drawAllEvents(layout: Layout, state: State, random: Random): void {
  drawOfFiles(layout, state, state.tie[0]!, random)
  drawOfPlates(layout, state, state.tie[2]!, random)
  drawOfMachines(layout, state, state.tie[1]!, random)
}

function drawOfFiles({ line: lines, fileWeight, printTried }: Layout, state: State, tie: number, random: Random): void {
  const { pass, fail } = state.file
  const { passed, failed } = state.fileEvents
  passed.fill(0)
  failed.fill(0)
  for (let print = 0; print < lines.length; print++) {
    const line = lines[print]!
    const bad = state.fileFailures[print]!
    passed[line]! += fileWeight[print]! * drawEvents(printTried[print]! - bad, pass[line]!, tie, random)
    failed[line]! += fileWeight[print]! * drawEvents(bad, fail[line]!, tie, random)
  }
}

function drawOfPlates({ tried, crowding }: Layout, state: State, tie: number, random: Random): void {
  const { pass, fail } = state.plate
  const { passed, failed } = state.plateEvents
  passed.fill(0)
  failed.fill(0)
  for (let plate = 0; plate < tried.length; plate++) {
    const node = crowding[plate]!
    const bad = state.plateFailures[plate]!
    passed[node]! += drawEvents(tried[plate]! - bad, pass[node]!, tie, random)
    failed[node]! += drawEvents(bad, fail[node]!, tie, random)
  }
}

function drawOfMachines(layout: Layout, state: State, tie: number, random: Random): void {
  const { tried, period } = layout
  const { passed, failed } = state.machineEvents
  for (let plate = 0; plate < tried.length; plate++) {
    const { pass, fail } = machineOn(plate, layout, state)
    const bad = state.machineFailures[plate]!
    passed[plate] = drawEvents(tried[plate]! - bad, pass[period[plate]!]!, tie, random)
    failed[plate] = drawEvents(bad, fail[period[plate]!]!, tie, random)
  }
}
