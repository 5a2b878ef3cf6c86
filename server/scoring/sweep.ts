// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { linkSize, type Network, siteFileWeight, siteSize, siteWeight } from './network.ts'

/** No shape parameter may fall below this: a Beta of 0 is none. */
export const shapeFloor = 0.02

/** How far a sweep moves towards what it proposes: full steps first, then damped ones against going round in circles. */
export function stepOfSweep(sweepNumber: number): number {
  if (sweepNumber <= 20) return 1
  return sweepNumber <= 60 ? 0.5 : 0.2
}

/**
 * Visits sites once, in place: expectation propagation with the copies of a site tied to one message. A visit takes one
 * copy's message out of each node, shares the blame for one failed copy, matches, steps, and puts the message back. Of a
 * site that weighs less than one copy only what is in the node is taken out: taking out more (power EP with a power above
 * 1) is no nearer to the exact posterior, but goes round in circles where the weight is small.
 *
 * A fit spends its time here. So a visit is written out without loops over the stages and without arrays in between,
 * which takes half the time; the digits say which stage: 0 file, 1 machine, 2 plate. What is read once is kept at hand,
 * since whatever is written to an array might, for all the compiler knows, change what is read from another.
 *
 * @param step 0-1, see stepOfSweep
 * @param stagesToMove 3, or 2 to leave the plates as they are
 * @param first the first site to visit, `end` the one after the last: all of them when left out
 * @returns the largest change of a part of a message, relative to it where it is above 1 (one copy can unsettle a
 * printer or plate that hardly ever fails by many copies' worth), and divided by the step before any shrinking
 * @see Minka (2001), Expectation propagation for approximate Bayesian inference, UAI
 */
export function sweep(
  { shape, sites, links, chances }: Network,
  step: number,
  stagesToMove: 2 | 3 = 3,
  first = 0,
  end = sites.length / siteSize,
): number {
  const plateMoves = stagesToMove === 3 ? 1 : 0
  let moved = 0
  for (let site = first; site < end; site++) {
    const link = site * linkSize
    const node0 = links[link]!
    const node1 = links[link + 1]!
    const node2 = links[link + 2]!
    const row = links[link + 3]!
    const at = site * siteSize
    const good0 = sites[at]!
    const bad0 = sites[at + 1]!
    const good1 = sites[at + 2]!
    const bad1 = sites[at + 3]!
    const good2 = sites[at + 4]!
    const bad2 = sites[at + 5]!
    const weight = sites[at + siteWeight]!
    const fileWeight = sites[at + siteFileWeight]!
    const x0 = shape[node0]!
    const y0 = shape[node0 + 1]!
    const x1 = shape[node1]!
    const y1 = shape[node1 + 1]!
    const x2 = shape[node2]!
    const y2 = shape[node2 + 1]!

    // The cavities.
    const one = Math.min(1, weight)
    const oneOfFile = Math.min(1, fileWeight)
    const a0 = Math.max(shapeFloor, x0 - oneOfFile * good0)
    const b0 = Math.max(shapeFloor, y0 - oneOfFile * bad0)
    const a1 = Math.max(shapeFloor, x1 - one * good1)
    const b1 = Math.max(shapeFloor, y1 - one * bad1)
    const a2 = Math.max(shapeFloor, x2 - one * good2)
    const b2 = Math.max(shapeFloor, y2 - one * bad2)

    // Chances that exactly the stages of a bit mask failed, machine and plate first, then with or without the file. They
    // are linear in each stage's success, so the means are all they need; and (a, b) do as well as (p, 1 - p), since
    // only ratios count.
    const neither = a1 * a2
    const machine = b1 * a2
    const plate = a1 * b2
    const both = b1 * b2
    const f1 = chances[row + 1]! * b0 * neither
    const f2 = chances[row + 2]! * a0 * machine
    const f3 = chances[row + 3]! * b0 * machine
    const f4 = chances[row + 4]! * a0 * plate
    const f5 = chances[row + 5]! * b0 * plate
    const f6 = chances[row + 6]! * a0 * both
    const f7 = chances[row + 7]! * b0 * both
    const scale = 1 / (f1 + f2 + f3 + f4 + f5 + f6 + f7)
    const r0 = scale * (f1 + f3 + f5 + f7)
    const r1 = scale * (f2 + f3 + f6 + f7)
    const r2 = scale * (f4 + f5 + f6 + f7)

    // The tilted law of a stage's success is r Beta(a, b + 1) + (1 - r) Beta(a + 1, b). It is matched in mean and variance
    // by one Beta; the message is what that one has more than (a, b): r = 1 gives (0, 1), r = b / (a + b) gives (0, 0).
    const q0 = a0 * b0 + a0 * r0 + b0 * (1 - r0)
    const q1 = a1 * b1 + a1 * r1 + b1 * (1 - r1)
    const q2 = a2 * b2 + a2 * r2 + b2 * (1 - r2)
    const v0 = (1 - r0) * r0 * (a0 + b0 + 2)
    const v1 = (1 - r1) * r1 * (a1 + b1 + 2)
    const v2 = (1 - r2) * r2 * (a2 + b2 + 2)
    const s0 = 1 / (q0 + v0)
    const s1 = 1 / (q1 + v1)
    const s2 = 1 / (q2 + v2)
    const toGood0 = s0 * ((1 - r0) * q0 - a0 * v0) - good0
    const toBad0 = s0 * (r0 * q0 - b0 * v0) - bad0
    const toGood1 = s1 * ((1 - r1) * q1 - a1 * v1) - good1
    const toBad1 = s1 * (r1 * q1 - b1 * v1) - bad1
    const toGood2 = plateMoves * (s2 * ((1 - r2) * q2 - a2 * v2) - good2)
    const toBad2 = plateMoves * (s2 * (r2 * q2 - b2 * v2) - bad2)

    // The step, at which every parameter keeps half of itself.
    let taken = step
    if (
      fallsFar(x0, step * fileWeight * toGood0) ||
      fallsFar(y0, step * fileWeight * toBad0) ||
      fallsFar(x1, step * weight * toGood1) ||
      fallsFar(y1, step * weight * toBad1) ||
      fallsFar(x2, step * weight * toGood2) ||
      fallsFar(y2, step * weight * toBad2)
    ) {
      taken = shrunk(taken, fileWeight * toGood0, x0)
      taken = shrunk(taken, fileWeight * toBad0, y0)
      taken = shrunk(taken, weight * toGood1, x1)
      taken = shrunk(taken, weight * toBad1, y1)
      taken = shrunk(taken, weight * toGood2, x2)
      taken = shrunk(taken, weight * toBad2, y2)
    }
    sites[at] = good0 + taken * toGood0
    sites[at + 1] = bad0 + taken * toBad0
    sites[at + 2] = good1 + taken * toGood1
    sites[at + 3] = bad1 + taken * toBad1
    sites[at + 4] = good2 + taken * toGood2
    sites[at + 5] = bad2 + taken * toBad2
    shape[node0] = x0 + taken * fileWeight * toGood0
    shape[node0 + 1] = y0 + taken * fileWeight * toBad0
    shape[node1] = x1 + taken * weight * toGood1
    shape[node1 + 1] = y1 + taken * weight * toBad1
    shape[node2] = x2 + taken * weight * toGood2
    shape[node2 + 1] = y2 + taken * weight * toBad2
    moved = larger(moved, taken * toGood0, good0 + toGood0)
    moved = larger(moved, taken * toBad0, bad0 + toBad0)
    moved = larger(moved, taken * toGood1, good1 + toGood1)
    moved = larger(moved, taken * toBad1, bad1 + toBad1)
    moved = larger(moved, taken * toGood2, good2 + toGood2)
    moved = larger(moved, taken * toBad2, bad2 + toBad2)
  }
  return moved / step
}

/** Visits one site, see `sweep`. */
export function visitSite(network: Network, site: number, step: number, stagesToMove: 2 | 3): number {
  return sweep(network, step, stagesToMove, site, site + 1)
}

function fallsFar(parameter: number, change: number): boolean {
  return parameter + change < 0.5 * parameter || parameter + change < shapeFloor
}

/**
 * The step at which a parameter that would change by `change` still keeps half of itself and stays above the floor. One
 * that a new prior has left below the floor may rise.
 */
function shrunk(step: number, change: number, parameter: number): number {
  if (change >= 0) return step
  const room = parameter - Math.max(0.5 * parameter, shapeFloor)
  return step * -change > room ? Math.max(0, room) / -change : step
}

/** The larger of what moved most so far and a change, relative to what it aims at where that is above 1. */
function larger(moved: number, change: number, aim: number): number {
  const size = Math.abs(change)
  return size > moved && size > moved * Math.abs(aim) ? size / Math.max(1, Math.abs(aim)) : moved
}
