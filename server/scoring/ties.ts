// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { type Stage, stages } from './labels.ts'
import type { Layout } from './layout.ts'
import { priors, rhoGrid, tieOf } from './model.ts'
import type { Random } from './random.ts'
import { type Chances, machineOn, type State } from './state.ts'

const ties = Float64Array.from(rhoGrid, tieOf)
const logs = new Float64Array(ties.length)
/** So many factors are multiplied before their product is turned into its logarithm, within the range of numbers. */
const soMany = 12
const products = new Float64Array(ties.length)

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
  let factors = 0
  products.fill(1)
  for (let urn = 0; urn < tried.length; urn++) {
    const copies = tried[urn]!
    if (copies <= 1) continue
    const failed = failures[urn]!
    const { pass, fail } = chancesOf(urn)
    const [p, q] = [pass[nodes[urn]!]!, fail[nodes[urn]!]!]
    for (let other = 1; other < copies; other++) {
      // The first pass and the first failure are as likely under every tie.
      const further = other < copies - failed ? other : 0
      const failure = other < failed ? other : 0
      for (let at = 0; at < ties.length; at++) {
        const tie = ties[at]!
        let factor = 1 / (1 + tie * other)
        if (further > 0) factor *= p + tie * further
        if (failure > 0) factor *= q + tie * failure
        products[at]! *= factor
      }
      if (++factors % soMany === 0) flush()
    }
  }
  flush()
}

function flush(): void {
  for (let at = 0; at < ties.length; at++) logs[at]! += Math.log(products[at]!)
  products.fill(1)
}
