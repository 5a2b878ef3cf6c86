// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import type { Shape } from './beta.ts'
import { changePrior, type Network, totalOf } from './network.ts'
import type { Hyper, Total } from './priors.ts'
import { drawsOf, groupPrior, priorOfSet, withoutSet } from './sculptor-tier.ts'

/** A set counts for its sculptor once it has evidence. */
export function isEvident({ x, y }: Total): boolean {
  return x > 0 || y > 0
}

/** Totals of a group's sets that have any evidence. */
export function evidentSets(network: Network, group: number): Total[] {
  const totals: Total[] = []
  for (let set = network.groupStart[group]!; set < network.groupStart[group + 1]!; set++) {
    const total = totalOf(network, set)
    if (isEvident(total)) totals.push(total)
  }
  return totals
}

/**
 * Gives every set the prior that its sculptor's other sets suggest.
 *
 * @returns the largest move of a prior's mean
 */
export function updateSculptors(network: Network, hyper: Hyper): number {
  let moved = 0
  for (let group = 0; group < network.groups.length; group++) {
    moved = Math.max(moved, updateGroup(network, group, hyper))
  }
  return moved
}

/** The same for one sculptor. */
export function updateGroup(network: Network, group: number, hyper: Hyper): number {
  const record = recordOfGroup(network, group, hyper)
  let moved = 0
  for (let set = network.groupStart[group]!; set < network.groupStart[group + 1]!; set++) {
    const before = network.prior[2 * set]! / (network.prior[2 * set]! + network.prior[2 * set + 1]!)
    const [a, b] = priorOfSet(withoutSet(record, totalOf(network, set), hyper), hyper)
    moved = Math.max(moved, Math.abs(a / (a + b) - before))
    changePrior(network, set, a, b)
  }
  return moved
}

/** `sculptorRecord` of a group, without gathering its sets first: this is done in every sweep. */
export function recordOfGroup(network: Network, group: number, hyper: Hyper): Shape {
  let [a, b] = groupPrior(hyper)
  for (let set = network.groupStart[group]!; set < network.groupStart[group + 1]!; set++) {
    const draws = drawsOf(totalOf(network, set), hyper.k)
    a += draws.good
    b += draws.bad
  }
  return [a, b]
}
