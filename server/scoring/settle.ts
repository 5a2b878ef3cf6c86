import { nextFileTier, nextMachineTier } from './hyper.ts'
import { changePrior, type Network, periodNode } from './network.ts'
import type { Hyper } from './priors.ts'
import { type SculptorForm, updateSculptors } from './sculptors.ts'
import { stepOfSweep, sweep } from './sweep.ts'

export type SettleOptions = {
  /** keeps the hyperparameters as they are */
  hold?: boolean
  /** sweeps end when neither a message nor a prior moves more than this */
  tolerance?: number
  maxSweeps?: number
  /** how the sculptor tier is computed; left out, by the number of sets: `grid` for few, `cheap, then grid` for many */
  sculptors?: SculptorForm | 'cheap, then grid'
}

export type Settled = {
  hyper: Hyper
  sweeps: number
  /** the sweeps ended at their cap, not because nothing moved any more */
  capped: boolean
}

const defaultTolerance = 1e-3
const defaultMaxSweeps = 200

/** More sets than this get the sculptors' grid only once the cheap form has roughly settled, and then now and then. */
const manySets = 2000
const roughly = 30
const gridEvery = 4

/** Sweeps until nothing moves any more; expectation propagation has no objective that would fall, so it may not end. */
export function settle(network: Network, start: Hyper, options: SettleOptions): Settled {
  const { tolerance = defaultTolerance, maxSweeps = defaultMaxSweeps } = options
  const many = network.sets.length > manySets
  const { sculptors = many ? 'cheap, then grid' : 'grid' } = options
  const progress: Settled = { hyper: start, sweeps: 0, capped: false }
  if (sculptors === 'cheap, then grid') {
    sweepUntil(network, progress, { ...options, maxSweeps, tolerance: roughly * tolerance }, 'cheap', 1)
  }
  const form = sculptors === 'cheap' ? 'cheap' : 'grid'
  sweepUntil(network, progress, { ...options, maxSweeps, tolerance }, form, form === 'grid' && many ? gridEvery : 1)
  return progress
}

type Limits = { hold?: boolean; tolerance: number; maxSweeps: number }

function sweepUntil(network: Network, progress: Settled, limits: Limits, form: SculptorForm, formEvery: number): void {
  const { hold = false, tolerance, maxSweeps } = limits
  const first = progress.sweeps
  updateSculptors(network, progress.hyper, form)
  progress.capped = true
  while (progress.capped && progress.sweeps < maxSweeps) {
    const number = ++progress.sweeps
    let moved = sweep(network, stepOfSweep(number))
    if (!hold) moved = Math.max(moved, learnFileTier(network, progress))
    if (!hold && (isMachineSweep(number) || moved < tolerance)) {
      moved = Math.max(moved, learnMachineTier(network, progress))
    }
    const due = (number - first) % formEvery === 0 || moved < tolerance
    if (due) moved = Math.max(moved, updateSculptors(network, progress.hyper, form))
    progress.capped = moved >= tolerance
  }
}

/** The machine tier is dear and slow to change, so it is learnt at these sweeps and before the end. */
function isMachineSweep(number: number): boolean {
  return number === 4 || number % 5 === 0
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
