// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { bestShape } from './best-shape.ts'
import { type Network, periodNode, totalOf } from './network.ts'
import { type Hyper, startingHyper, type Total } from './priors.ts'
import { sculptorRecord } from './sculptor-tier.ts'
import { evidentSets, isEvident } from './sculptors.ts'
import { shapeFloor } from './sweep.ts'

/** So many imaginary sets and sculptors of the starting prior keep the file tier from running away on little data. */
const imaginary = 3
const imaginaryMean = startingHyper.mu0
const imaginarySize = startingHyper.k
const sizeLimits = [0.5, 500] as const

/**
 * One fixed-point step for the file tier: sizes from the ratio of binomial to actual variance of sets around their
 * sculptor, and of sculptors around the group, taken over the present posteriors.
 */
export function nextFileTier(network: Network, hyper: Hyper): Hyper {
  const { k } = hyper
  const sums = { groups: 0, mu: 0, between: 0, muSquare: 0, binomial: 0, within: 0 }
  for (let group = 0; group < network.groups.length; group++) {
    const sets = evidentSets(network, group)
    if (sets.length === 0) continue
    const [a, b] = sculptorRecord(sets, hyper)
    const mu = a / (a + b)
    const spread = (mu * (1 - mu)) / (a + b + 1)
    sums.groups++
    sums.mu += mu
    sums.muSquare += mu * mu
    sums.between += spread
    sums.binomial += sets.length * (mu * (1 - mu) - spread)
    for (const set of sets) sums.within += spreadAround(mu, spread, set, k)
  }
  const mu0 = (sums.mu + imaginary * imaginaryMean) / (sums.groups + imaginary)
  const q0 = mu0 * (1 - mu0)
  const imaginarySpread = (imaginary * q0) / (imaginarySize + 1)
  const aroundMean = sums.muSquare - 2 * mu0 * sums.mu + sums.groups * mu0 * mu0
  const nextK = (sums.binomial + imaginary * q0) / (sums.within + imaginarySpread) - 1
  const nextK0 = (q0 * (sums.groups + imaginary)) / (sums.between + aroundMean + imaginarySpread) - 1
  return { ...hyper, mu0, k: beyond(k, nextK), k0: beyond(hyper.k0, nextK0) }
}

/** Expected squared distance of a set's success from its sculptor's mean, both uncertain. */
function spreadAround(mu: number, spread: number, { x, y }: Total, k: number): number {
  const a = Math.max(shapeFloor, k * mu + x)
  const b = Math.max(shapeFloor, k * (1 - mu) + y)
  const n = a + b
  const e = a / n
  const pull = 1 - k / n
  return (e * (1 - e)) / (n + 1) + (e - mu) ** 2 + pull * pull * spread
}

/** Twice the step, as plain steps close in on their fixed point by a fifth at a time only; within limits. */
function beyond(size: number, next: number): number {
  const within = Math.min(sizeLimits[1], Math.max(sizeLimits[0], next))
  return Math.min(sizeLimits[1], Math.max(sizeLimits[0], within * (within / size)))
}

const mostPeriods = 20_000

/** The machine tier anew: am and bm from the printer periods that have evidence, evenly thinned to 20,000. */
export function nextMachineTier(network: Network, hyper: Hyper): Hyper {
  const count = network.periods.length
  const every = Math.ceil(count / mostPeriods)
  const totals: Total[] = []
  for (let period = 0; period < count; period += every) {
    const total = totalOf(network, periodNode(network, period))
    if (isEvident(total)) totals.push(total)
  }
  const [am, bm] = bestShape(totals, [hyper.am, hyper.bm])
  return { ...hyper, am, bm }
}
