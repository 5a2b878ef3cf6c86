// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { allSuccesses, type Successes } from './all-successes.ts'
import type { Shape } from './beta.ts'
import { Evidence, type EvidenceNetwork } from './evidence.ts'
import { type LabelTable, stageSets } from './labels.ts'
import {
  linkSize,
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
import { recordOfGroup } from './sculptors.ts'
import { type Settled, type SettleOptions, settle } from './settle.ts'

export type FitOptions = SettleOptions & {
  /** where the hyperparameters start, and stay with `hold` */
  hyper?: Hyper
  /** correlation of a plate's copies */
  rho?: number
  labels?: LabelTable
  /** samples the successes of small groups from the exact posterior, unless false */
  sampling?: boolean
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
  /** what is shown of every set, period and plate; computed when asked for */
  successes: () => Successes
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

/** The full fit of evidence that was collected one report at a time. */
export function fitEvidence(evidence: Evidence, options: FitOptions = {}): Fit {
  const hyper = options.hyper ?? startingHyper
  const network = evidence.network(hyper)
  return fitOf(network, settle(network, hyper, options), options.sampling ?? true)
}

function fitOf(network: EvidenceNetwork, { hyper, sweeps, capped }: Settled, sampling: boolean): Fit {
  const groups = new Map<string, Shape>()
  const supportSets = new Map<string, FittedSet>()
  network.groups.forEach((group, index) => {
    groups.set(group, recordOfGroup(network, index, hyper))
    for (let set = network.groupStart[index]!; set < network.groupStart[index + 1]!; set++) {
      const { x, y } = totalOf(network, set)
      const priorA = network.prior[2 * set]!
      const priorB = network.prior[2 * set + 1]!
      supportSets.set(network.sets[set]!, { group, x, y, priorA, priorB })
    }
  })
  const printerPeriods = new Map<string, Total>()
  network.periods.forEach((period, index) => {
    printerPeriods.set(period, totalOf(network, periodNode(network, index)))
  })
  const plate = (crowding: Crowding) => totalOf(network, plateNode(network, crowding))
  const plates = { loose: plate('loose'), normal: plate('normal'), packed: plate('packed') }
  return {
    hyper,
    supportSets,
    printerPeriods,
    plates,
    groups,
    sites: () => sitesOf(network),
    successes: () => allSuccesses(network, hyper, sampling),
    sweeps,
    capped,
  }
}

function* sitesOf(network: EvidenceNetwork): Generator<FittedSite> {
  for (let site = 0; site < network.sites.length / siteSize; site++) {
    yield {
      reportId: network.reportIdOf(site),
      seen: network.labels[network.links[linkSize * site + 3]! / stageSets]!,
      weight: network.sites[siteSize * site + siteWeight]!,
      fileWeight: network.sites[siteSize * site + siteFileWeight]!,
      message: messageOf(network, site),
    }
  }
}
