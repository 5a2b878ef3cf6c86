// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { linkSize, type Network, siteFileWeight, siteSize, siteWeight } from './network.ts'

/** No shape parameter may fall below this: a Beta of 0 is none. */
export const shapeFloor = 0.02

/** Scratch of one visit: the cavities' a and b by stage, the blame by stage, the proposed message. */
const cavity = new Float64Array(6)
const blame = new Float64Array(3)
const proposal = new Float64Array(6)

/** How far a sweep moves towards what it proposes: full steps first, then damped ones against going round in circles. */
export function stepOfSweep(sweepNumber: number): number {
  if (sweepNumber <= 20) return 1
  return sweepNumber <= 60 ? 0.5 : 0.2
}

/**
 * Visits every site once, in place: expectation propagation with the copies of a site tied to one message.
 *
 * @param step 0-1, see stepOfSweep
 * @returns the largest change of a message, see visitSite
 * @see Minka (2001), Expectation propagation for approximate Bayesian inference, UAI
 */
export function sweep(network: Network, step: number): number {
  const count = network.sites.length / siteSize
  let moved = 0
  for (let site = 0; site < count; site++) moved = Math.max(moved, visitSite(network, site, step, 3))
  return moved
}

/**
 * One visit: take one copy's message out of each node, share the blame for one failed copy, match, step, put it back.
 * Of a site that weighs less than one copy only what is in the node is taken out: taking out more (power EP with a power
 * above 1) is no nearer to the exact posterior, but goes round in circles where the weight is small.
 *
 * @param stagesToMove 3, or 2 to leave the plates as they are
 * @returns the largest change of a part of the message, relative to it where it is above 1 (one copy can unsettle a
 * printer or plate that hardly ever fails by many copies' worth), and divided by the step before any shrinking
 */
export function visitSite(network: Network, site: number, step: number, stagesToMove: 2 | 3): number {
  const { shape, sites, links, chances } = network
  const at = site * siteSize
  const link = site * linkSize
  for (let stage = 0; stage < 3; stage++) {
    const node = links[link + stage]!
    const one = Math.min(1, sites[at + (stage === 0 ? siteFileWeight : siteWeight)]!)
    cavity[2 * stage] = Math.max(shapeFloor, shape[node]! - one * sites[at + 2 * stage]!)
    cavity[2 * stage + 1] = Math.max(shapeFloor, shape[node + 1]! - one * sites[at + 2 * stage + 1]!)
  }
  shareBlame(chances, links[link + 3]!)
  let taken = step
  for (let stage = 0; stage < stagesToMove; stage++) {
    matchStage(stage)
    const node = links[link + stage]!
    const weight = sites[at + (stage === 0 ? siteFileWeight : siteWeight)]!
    taken = shrink(taken, weight * (proposal[2 * stage]! - sites[at + 2 * stage]!), shape[node]!)
    taken = shrink(taken, weight * (proposal[2 * stage + 1]! - sites[at + 2 * stage + 1]!), shape[node + 1]!)
  }
  let moved = 0
  for (let part = 0; part < 2 * stagesToMove; part++) {
    const change = taken * (proposal[part]! - sites[at + part]!)
    sites[at + part]! += change
    shape[links[link + (part >> 1)]! + (part & 1)]! += change * sites[at + (part < 2 ? siteFileWeight : siteWeight)]!
    moved = Math.max(moved, Math.abs(change) / Math.max(1, Math.abs(proposal[part]!)))
  }
  return moved / step
}

/**
 * Chance that each stage is among those that failed on one copy, from the cavities: the likelihood is linear in each
 * stage's success, so the means are all it needs; and a stage's (a, b) do as well as (p, q), since only ratios count.
 */
function shareBlame(chances: Float64Array, row: number): void {
  const file = cavity[0]!
  const noFile = cavity[1]!
  const machine = cavity[2]!
  const noMachine = cavity[3]!
  const plate = cavity[4]!
  const noPlate = cavity[5]!
  const onlyFile = chances[row + 1]! * noFile * machine * plate
  const onlyMachine = chances[row + 2]! * file * noMachine * plate
  const fileMachine = chances[row + 3]! * noFile * noMachine * plate
  const onlyPlate = chances[row + 4]! * file * machine * noPlate
  const filePlate = chances[row + 5]! * noFile * machine * noPlate
  const machinePlate = chances[row + 6]! * file * noMachine * noPlate
  const all = chances[row + 7]! * noFile * noMachine * noPlate
  const scale = 1 / (onlyFile + onlyMachine + fileMachine + onlyPlate + filePlate + machinePlate + all)
  blame[0] = scale * (onlyFile + fileMachine + filePlate + all)
  blame[1] = scale * (onlyMachine + fileMachine + machinePlate + all)
  blame[2] = scale * (onlyPlate + filePlate + machinePlate + all)
}

/**
 * The tilted law of a stage's success is r Beta(a, b + 1) + (1 - r) Beta(a + 1, b); this matches it by one Beta in mean
 * and variance, and proposes what that Beta has more than (a, b). r = 1 gives (0, 1); r = b / (a + b) gives (0, 0).
 */
function matchStage(stage: number): void {
  const a = cavity[2 * stage]!
  const b = cavity[2 * stage + 1]!
  const r = blame[stage]!
  const u = 1 - r
  const n = a + b + 2
  const q = a * b + a * r + b * u
  const scale = 1 / (q + u * r * n)
  proposal[2 * stage] = u * (q - a * r * n) * scale
  proposal[2 * stage + 1] = r * (q - b * u * n) * scale
}

/** The step at which a parameter that would change by `change` still keeps half of itself and stays above the floor. */
function shrink(step: number, change: number, parameter: number): number {
  const room = parameter - Math.max(0.5 * parameter, shapeFloor)
  return step * -change > room ? Math.max(0, room) / -change : step
}
