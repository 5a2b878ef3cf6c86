// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import type { Shape } from './beta.ts'
import { Evidence, type EvidenceNetwork } from './evidence.ts'
import { nextFileTier, nextMachineTier } from './hyper.ts'
import type { LabelTable } from './labels.ts'
import {
  changePrior,
  type Message,
  messageOf,
  periodNode,
  plateNode,
  siteFileWeight,
  siteSize,
  siteWeight,
  totalOf,
} from './network.ts'
import { type Crowding, type Hyper, startingHyper, type Total } from './priors.ts'
import type { Report } from './reports.ts'
import { sculptorRecord } from './sculptor-tier.ts'
import { evidentSets, type SculptorForm, updateSculptors } from './sculptors.ts'
import { stepOfSweep, sweep } from './sweep.ts'

export type FitOptions = {
  /** keeps the hyperparameters as they are given */
  hold?: boolean
  /** where the hyperparameters start */
  hyper?: Hyper
  /** correlation of a plate's copies */
  rho?: number
  labels?: LabelTable
  /** sweeps end when no message and no prior moves more than this */
  tolerance?: number
  maxSweeps?: number
  /** how the sculptor tier is computed; left out, by the number of sets: `grid` for few, `cheap, then grid` for many */
  sculptors?: SculptorForm | 'cheap, then grid'
}

export type FittedSet = Total & { group: string; priorA: number; priorB: number }
export type FittedSite = {
  reportId: string | undefined
  seen: string
  /** copies' worth to printer and plate, and to the file */
  weight: number
  fileWeight: number
  message: Message
}

export type Fit = {
  hyper: Hyper
  supportSets: Map<string, FittedSet>
  printerPeriods: Map<string, Total>
  plates: Record<Crowding, Total>
  /** A and B of every sculptor: its mean success is Beta(A, B) */
  groups: Map<string, Shape>
  /** made when asked for, one at a time: there may be a million */
  sites: () => Iterable<FittedSite>
  sweeps: number
  /** the sweeps ended at their cap, not because nothing moved any more */
  capped: boolean
}

/**
 * The full fit: who is to blame for every failure, and how well every file, printer and plate does.
 *
 * @throws RangeError for a report or a label that makes no sense (see Evidence.add)
 */
export function fitReports<Label extends string>(reports: Iterable<Report<Label>>, options: FitOptions = {}): Fit {
  const evidence = new Evidence(options)
  for (const report of reports) evidence.add(report)
  return fitEvidence(evidence, options)
}

/** So many sets are fitted with the sculptors' grid in every sweep; more get it once the cheap form has settled. */
const setsWithGridThroughout = 2000

/** The full fit of evidence that was collected one report at a time. */
export function fitEvidence(evidence: Evidence, options: FitOptions = {}): Fit {
  const network = evidence.network(options.hyper ?? startingHyper)
  const { sculptors = network.sets.length > setsWithGridThroughout ? 'cheap, then grid' : 'grid' } = options
  const forms: SculptorForm[] = sculptors === 'cheap, then grid' ? ['cheap', 'grid'] : [sculptors]
  const progress: Progress = { hyper: options.hyper ?? startingHyper, sweeps: 0, capped: false }
  for (const form of forms) {
    updateSculptors(network, progress.hyper, form)
    settle(network, form, progress, options)
  }
  return fitOf(network, progress)
}

type Progress = { hyper: Hyper; sweeps: number; capped: boolean }

const defaultTolerance = 1e-3
const defaultMaxSweeps = 200

/** Sweeps until neither a message nor a prior moves more than the tolerance, or the cap is hit. */
function settle(network: EvidenceNetwork, form: SculptorForm, progress: Progress, options: FitOptions): void {
  const { hold = false, tolerance = defaultTolerance, maxSweeps = defaultMaxSweeps } = options
  while (progress.sweeps < maxSweeps) {
    const number = ++progress.sweeps
    let moved = sweep(network, stepOfSweep(number))
    moved = Math.max(moved, updateSculptors(network, progress.hyper, form))
    if (!hold) {
      moved = Math.max(moved, learnFileTier(network, progress))
      if (isMachineSweep(number) || moved < tolerance) moved = Math.max(moved, learnMachineTier(network, progress))
    }
    if (moved < tolerance) {
      progress.capped = false
      return
    }
  }
  progress.capped = true
}

/** The machine tier is dear and slow to change, so it is learnt at these sweeps and before the end. */
function isMachineSweep(number: number): boolean {
  return number === 4 || number % 10 === 0
}

function learnFileTier(network: EvidenceNetwork, progress: Progress): number {
  const before = progress.hyper
  const after = nextFileTier(network, before)
  progress.hyper = after
  return Math.max(Math.abs(after.mu0 - before.mu0), change(before.k0, after.k0), change(before.k, after.k))
}

function learnMachineTier(network: EvidenceNetwork, progress: Progress): number {
  const before = progress.hyper
  const after = nextMachineTier(network, before)
  progress.hyper = after
  for (let period = 0; period < network.periods.length; period++) {
    changePrior(network, periodNode(network, period), after.am, after.bm)
  }
  return Math.max(change(before.am, after.am), change(before.bm, after.bm))
}

/** Relative change, of which a tenth counts: the data barely notice a prior of 10.0 copies becoming one of 10.1. */
function change(before: number, after: number): number {
  return (0.1 * Math.abs(after - before)) / before
}

function fitOf(network: EvidenceNetwork, { hyper, sweeps, capped }: Progress): Fit {
  const groups = new Map<string, Shape>()
  const supportSets = new Map<string, FittedSet>()
  network.groups.forEach((group, index) => {
    groups.set(group, sculptorRecord(evidentSets(network, index), hyper))
    for (let set = network.groupStart[index]!; set < network.groupStart[index + 1]!; set++) {
      const [priorA, priorB] = [network.prior[2 * set]!, network.prior[2 * set + 1]!]
      supportSets.set(network.sets[set]!, { group, ...totalOf(network, set), priorA, priorB })
    }
  })
  const printerPeriods = new Map<string, Total>()
  network.periods.forEach((period, index) => {
    printerPeriods.set(period, totalOf(network, periodNode(network, index)))
  })
  const plate = (crowding: Crowding) => totalOf(network, plateNode(network, crowding))
  const plates = { loose: plate('loose'), normal: plate('normal'), packed: plate('packed') }
  return { hyper, supportSets, printerPeriods, plates, groups, sites: () => sitesOf(network), sweeps, capped }
}

function* sitesOf(network: EvidenceNetwork): Generator<FittedSite> {
  for (let site = 0; site < network.siteNames.length; site++) {
    yield {
      ...network.siteNames[site]!,
      weight: network.sites[siteSize * site + siteWeight]!,
      fileWeight: network.sites[siteSize * site + siteFileWeight]!,
      message: messageOf(network, site),
    }
  }
}
