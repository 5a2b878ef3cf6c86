// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { type Stage, stages } from './labels.ts'
import type { Layout } from './layout.ts'
import { priors, rhoGrid, tieOf } from './model.ts'
import type { Random } from './random.ts'
import { type Chances, machineOn, type State } from './state.ts'

const ties = Float64Array.from(rhoGrid, tieOf)
const logs = new Float64Array(ties.length)
/** So many factors are multiplied before their product is turned into its logarithm, within the range of numbers. */
const soMany = 30
const products = new Float64Array(ties.length).fill(1)
let factors = 0

/** Draws how closely a plate's copies hang together, by stage, on the grid. */
export function drawTies(layout: Layout, state: State, random: Random): void {
  const { line, period, crowding, tried, printTried } = layout
  const { file, plate, tie, fileFailures, machineFailures, plateFailures } = state
  const urns: Record<Stage, () => void> = {
    file: () => addUrns(printTried, fileFailures, line, () => file),
    machine: () => addUrns(tried, machineFailures, period, (at) => machineOn(at, layout, state)),
    plate: () => addUrns(tried, plateFailures, crowding, () => plate),
  }
  stages.forEach((stage, index) => {
    logs.set(priors.rho[stage].map(Math.log))
    urns[stage]()
    const most = Math.max(...logs)
    tie[index] = ties[random.index(logs.map((log) => Math.exp(log - most)))]!
  })
}

/**
 * Adds the chances of the outcomes of some urns by every tie of the grid: the next copy fails with
 * (q + tie failed) / (1 + tie others). The events are summed out, so that they may be drawn afresh afterwards.
 */
function addUrns(
  tried: Int32Array,
  failures: Int32Array,
  nodes: ArrayLike<number>,
  chancesOf: (urn: number) => Chances,
) {
  const bySize: number[] = []
  for (let urn = 0; urn < tried.length; urn++) {
    const copies = tried[urn]!
    if (copies <= 1) continue
    bySize[copies] = (bySize[copies] ?? 0) + 1
    const failed = failures[urn]!
    const { pass, fail } = chancesOf(urn)
    addFurther(pass[nodes[urn]!]!, copies - failed)
    addFurther(fail[nodes[urn]!]!, failed)
  }
  flush()
  let larger = 0
  for (let others = bySize.length - 1; others > 0; others--) {
    for (let at = 0; at < ties.length; at++) logs[at]! -= larger * Math.log(1 + ties[at]! * others)
    larger += bySize[others] ?? 0
  }
}

/** The first copy of a fate is as likely under every tie, each further one by what the ones before it add. */
function addFurther(chance: number, copies: number): void {
  for (let further = 1; further < copies; further++) {
    for (let at = 0; at < ties.length; at++) products[at]! *= chance + ties[at]! * further
    if (++factors === soMany) flush()
  }
}

function flush(): void {
  for (let at = 0; at < ties.length; at++) logs[at]! += Math.log(products[at]!)
  products.fill(1)
  factors = 0
}
