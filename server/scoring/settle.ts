import { guessMessages } from './first-guess.ts'
import { nextFileTier, nextMachineTier } from './hyper.ts'
import { changePrior, type Network, periodNode, siteSize } from './network.ts'
import type { Hyper } from './priors.ts'
import { updateSculptors } from './sculptors.ts'
import { stepOfSweep, sweep, visitSite } from './sweep.ts'

export type SettleOptions = {
  /** keeps the hyperparameters as they are */
  hold?: boolean
  /** sweeps end when neither a message nor a prior moves more than this */
  tolerance?: number
  maxSweeps?: number
}

export type Settled = {
  hyper: Hyper
  sweeps: number
  /** the sweeps ended at their cap, not because nothing moved any more */
  capped: boolean
}

const defaultTolerance = 1e-3
const defaultMaxSweeps = 200

/**
 * Sweeps until nothing moves any more; expectation propagation has no objective that would fall, so it may not end. The
 * last sweep went over all sites. Leaving out those that have stopped moving was tried: plates and hyperparameters, which
 * move a little until the end, move all of them, so that it takes as many visits in the end. So were larger steps than
 * whole ones: a fifth more saved four sweeps of sixteen, but half as much again did not come to rest in twenty-five.
 */
export function settle(network: Network, start: Hyper, options: SettleOptions): Settled {
  const { hold = false, tolerance = defaultTolerance, maxSweeps = defaultMaxSweeps } = options
  const progress: Settled = { hyper: start, sweeps: 0, capped: true }
  settleNewcomers(network, guessMessages(network))
  updateSculptors(network, start)
  while (progress.capped && progress.sweeps < maxSweeps) {
    const number = ++progress.sweeps
    let moved = sweep(network, stepOfSweep(number))
    if (!hold) moved = Math.max(moved, learnFileTier(network, progress))
    if (!hold) moved = Math.max(moved, learnMachineTier(network, progress))
    moved = Math.max(moved, updateSculptors(network, progress.hyper))
    progress.capped = moved >= tolerance
  }
  return progress
}

/**
 * On a warm start, the few sites that are new find their place before the others look at them: a guess counts for more
 * than what it settles at, and all the others would follow it up and down again.
 */
function settleNewcomers(network: Network, sites: readonly number[]): void {
  if (2 * sites.length > network.sites.length / siteSize) return
  for (let round = 0; round < 3; round++) for (const site of sites) visitSite(network, site, 1, 3)
}

function learnFileTier(network: Network, progress: Settled): number {
  const before = progress.hyper
  const after = nextFileTier(network, before)
  progress.hyper = after
  return Math.max(Math.abs(after.mu0 - before.mu0), change(before.k0, after.k0), change(before.k, after.k))
}

function learnMachineTier(network: Network, progress: Settled): number {
  const before = progress.hyper
  const after = nextMachineTier(network, before)
  progress.hyper = after
  for (let period = 0; period < network.periods.length; period++) {
    changePrior(network, periodNode(network, period), after.am, after.bm)
  }
  return Math.max(change(before.am, after.am), change(before.bm, after.bm))
}

/** Relative change, of which a tenth counts: reports barely notice a prior of 10.0 copies becoming one of 10.1. */
function change(before: number, after: number): number {
  return (0.1 * Math.abs(after - before)) / before
}
