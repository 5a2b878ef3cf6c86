// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { shapeOfMoments } from './beta.ts'
import { GibbsChain } from './gibbs.ts'
import { mixtureMoments, mixtureSummary } from './mixture.ts'
import { type Network, periodNode, plateNode, siteFileWeight, siteSize, siteWeight, totalOf } from './network.ts'
import { type Crowding, crowdings, type Hyper } from './priors.ts'
import { sculptorGrid } from './sculptor-grid.ts'
import { evidentSets } from './sculptors.ts'
import { copiesOf, type Success, successOfPeriod, successOfPlate, successOnGrid } from './success.ts'

/** What comes out of a fit for every support set, printer period and plate. */
export type Successes = {
  supportSets: Map<string, Success>
  printerPeriods: Map<string, Success>
  plates: Record<Crowding, Success>
  /** sweeps of sampling that they rest on; 0 when they are those of expectation propagation */
  samples: number
}

/**
 * The successes of a settled network: sampled from the exact posterior where that takes a fraction of a second and
 * copies count in full, else by expectation propagation with the sculptors integrated out.
 */
export function allSuccesses(network: Network, hyper: Hyper, sampling: boolean): Successes {
  const samples = sampling && countsInFull(network) ? affordableSweeps(network) : 0
  const ofNode = samples > 0 ? sampledSuccess(network, hyper, samples) : propagatedSuccess(network, hyper)
  const plate = (crowding: Crowding) => ofNode(plateNode(network, crowding))
  return {
    supportSets: new Map(network.sets.map((name, set) => [name, ofNode(set)])),
    printerPeriods: new Map(network.periods.map((name, period) => [name, ofNode(periodNode(network, period))])),
    plates: { loose: plate('loose'), normal: plate('normal'), packed: plate('packed') },
    samples,
  }
}

const leastSweeps = 4000
const mostSweeps = 60_000
const usualNanoseconds = 1e9
const mostNanoseconds = 3e9

/** How many sweeps of sampling fit into about 1 s; 4,000 at least, unless they would take more than 3 s: then none. */
function affordableSweeps({ sites, shape, groups }: Network): number {
  let copies = 0
  for (let at = siteWeight; at < sites.length; at += siteSize) copies += sites[at]!
  // Nanoseconds as once measured: computers differ, but the number of sweeps must not.
  const sweep = 60 * (sites.length / siteSize) + 30 * copies + 250 * (shape.length / 2) + 700 * groups.length + 1000
  if (leastSweeps * sweep > mostNanoseconds) return 0
  return Math.max(leastSweeps, Math.min(mostSweeps, Math.floor(usualNanoseconds / sweep)))
}

/** Whether every failed copy counts once, to all three stages. */
function countsInFull({ sites }: Network): boolean {
  for (let at = 0; at < sites.length; at += siteSize) {
    const weight = sites[at + siteWeight]!
    if (!Number.isInteger(weight) || sites[at + siteFileWeight] !== weight) return false
  }
  return true
}

/** Always the same, so that the same reports show the same numbers. */
const seed = 1

function sampledSuccess(network: Network, hyper: Hyper, sweeps: number): (node: number) => Success {
  const chain = new GibbsChain(network, hyper, seed)
  chain.run(Math.ceil(sweeps / 20), false)
  chain.run(sweeps, true)
  return (node) => {
    const parts = chain.partsOf(node)
    const { first, second } = mixtureMoments(parts)
    return { ...mixtureSummary(parts, shapeOfMoments(first, second)), copies: copiesOf(totalOf(network, node)) }
  }
}

function propagatedSuccess(network: Network, hyper: Hyper): (node: number) => Success {
  const { sets, periods, groups, groupStart } = network
  let group = 0
  let grid = sculptorGrid(groups.length > 0 ? evidentSets(network, 0) : [], hyper)
  return (node) => {
    const total = totalOf(network, node)
    if (node >= sets.length + periods.length) {
      return successOfPlate(crowdings[node - sets.length - periods.length]!, total)
    }
    if (node >= sets.length) return successOfPeriod(total, hyper)
    while (node >= groupStart[group + 1]!) grid = sculptorGrid(evidentSets(network, ++group), hyper)
    return successOnGrid(grid, total)
  }
}
