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

/** There may be a hundred thousand sets and a million sites: what there are so many of is made when it is asked for. */
export type Fit = {
  hyper: Hyper
  readonly supportSets: Map<string, FittedSet>
  readonly printerPeriods: Map<string, Total>
  plates: Record<Crowding, Total>
  /** A and B of every sculptor: its mean success is Beta(A, B) */
  readonly groups: Map<string, Shape>
  /** one at a time */
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
  const supportSets = once(() => supportSetsOf(network))
  const printerPeriods = once(() => printerPeriodsOf(network))
  const groups = once(() => new Map(network.groups.map((name, group) => [name, recordOfGroup(network, group, hyper)])))
  const plate = (crowding: Crowding) => totalOf(network, plateNode(network, crowding))
  return {
    hyper,
    get supportSets() {
      return supportSets()
    },
    get printerPeriods() {
      return printerPeriods()
    },
    get groups() {
      return groups()
    },
    plates: { loose: plate('loose'), normal: plate('normal'), packed: plate('packed') },
    sites: () => sitesOf(network),
    successes: () => allSuccesses(network, hyper, sampling),
    sweeps,
    capped,
  }
}

/** What is made when it is first asked for, and kept. */
function once<Result>(make: () => Result): () => Result {
  let made: { result: Result } | undefined
  return () => {
    made ??= { result: make() }
    return made.result
  }
}

function supportSetsOf(network: EvidenceNetwork): Map<string, FittedSet> {
  const supportSets = new Map<string, FittedSet>()
  network.groups.forEach((group, index) => {
    for (let set = network.groupStart[index]!; set < network.groupStart[index + 1]!; set++) {
      const { x, y } = totalOf(network, set)
      const priorA = network.prior[2 * set]!
      const priorB = network.prior[2 * set + 1]!
      supportSets.set(network.sets[set]!, { group, x, y, priorA, priorB })
    }
  })
  return supportSets
}

function printerPeriodsOf(network: EvidenceNetwork): Map<string, Total> {
  return new Map(network.periods.map((name, period) => [name, totalOf(network, periodNode(network, period))]))
}

function* sitesOf(network: EvidenceNetwork): Generator<FittedSite> {
  const reportIds = network.reportIds()
  for (let site = 0; site < network.sites.length / siteSize; site++) {
    yield {
      reportId: reportIds[site],
      seen: network.labels[network.links[linkSize * site + 3]! / stageSets]!,
      weight: network.sites[siteSize * site + siteWeight]!,
      fileWeight: network.sites[siteSize * site + siteFileWeight]!,
      message: messageOf(network, site),
    }
  }
}
