import type { Told } from './cases.ts'
import { Evidence } from './evidence.ts'
import { type Fit, type FitOptions, type FittedSet, fitEvidence } from './fit.ts'
import { MemberReading, type Standing } from './habits.ts'
import { type Chances, chancesOf, type LabelTable, seenLabels } from './labels.ts'
import { machineTier } from './machine-tier.ts'
import { type Hyper, startingRho } from './priors.ts'
import { type MembersReport, type MemberWeights, ReportList, type Shared } from './report-list.ts'
import { counted } from './reports.ts'
import { type SampledGroup, sampleGroup } from './sampled-group.ts'
import { SecondReading } from './second-reading.ts'

/** A full fit that knows who reported, with the cases of every node's failures. */
export type GroupFitted = Omit<Fit, 'supportSets' | 'printerPeriods' | 'successes'> & {
  supportSets: Map<string, FittedSet & Told>
  printerPeriods: Map<string, Told>
  standings: Map<string, Standing>
  shares: Shared[]
  /** sweeps of sampling that the cases rest on; 0 where they are those of a second reading */
  samples: number
}

type Fitted = Omit<GroupFitted, 'standings' | 'shares'>

/**
 * The full fit of a group. The first two take every report for what it says: they tell what the group as a whole is like,
 * which no member can bend much, and whose reports contradict everybody else's. The last holds that, and lets no member's
 * evidence count without bound, nor that of doubted ones in full.
 *
 * All of them propagate expectations; messages are what later reports are learnt on. For what is shown, and for what the
 * group is like, a group that is not too large is sampled as well (sampled-group.ts), which is right where messages are
 * not; of a larger one the reports are read once more (second-reading.ts).
 */
export class GroupFit {
  readonly #options: FitOptions
  readonly #reading: { rho: number; labels?: LabelTable }
  readonly #chances: Chances
  readonly #reports = new ReportList()

  constructor(options: FitOptions = {}) {
    const { rho = startingRho, labels } = options
    this.#options = options
    this.#chances = chancesOf(labels ?? seenLabels)
    this.#reading = { rho, ...(labels && { labels }) }
  }

  /** @throws RangeError for a report that makes no sense */
  add(report: MembersReport): void {
    counted(report, this.#chances, this.#reading.rho)
    this.#reports.add(report)
  }

  fit(): GroupFitted {
    const first = this.#fit(undefined, this.#options)
    const hyper = this.#hyperOf(first, this.#read(first, undefined, { onlyPeriods: true }))
    const second = this.#fit(undefined, { ...this.#options, hold: true, hyper })
    const standings = this.#standingsIn(second)
    const weights = new Map(Array.from(standings, ([memberId, { weight }]) => [memberId, weight]))
    const shares = this.#reports.shares(this.#reading.rho)
    const allCountInFull = shares.length === 0 && Array.from(weights.values()).every((weight) => weight === 1)
    const counting = allCountInFull ? undefined : weights
    const fitted = this.#sampled([first, second], counting) ?? this.#propagated([first, second], counting)
    return { ...fitted, standings, shares }
  }

  /** What stands, by sampling: undefined for a group that is too large. */
  #sampled(fits: [Fit, Fit], weights: MemberWeights): Fitted | undefined {
    const sampled = this.#sample(fits[1], weights)
    if (!sampled) return undefined
    const { hyper, plates, told, samples } = sampled
    const last = this.#fit(weights, { ...this.#options, hold: true, hyper })
    return { ...fittedAs([...fits, last], told(last)), hyper, plates, samples }
  }

  /** What stands, by expectation propagation and a second reading. */
  #propagated(fits: [Fit, Fit], weights: MemberWeights): Fitted {
    const reading = this.#read(fits[1], undefined)
    const hyper = this.#hyperOf(fits[1], reading)
    if (!weights) return { ...fittedAs(fits, reading.told()), hyper }
    const last = this.#fit(weights, { ...this.#options, hold: true, hyper })
    return fittedAs([...fits, last], this.#read(last, weights).told())
  }

  #sample(fit: Fit, weights: MemberWeights): SampledGroup | undefined {
    if (this.#options.hold || this.#options.sampling === false) return undefined
    return sampleGroup(this.#reports.reports(weights, this.#reading.rho), fit, this.#reading)
  }

  #fit(weights: MemberWeights, options: FitOptions): Fit {
    const evidence = new Evidence(options)
    for (const report of this.#reports.reports(weights, this.#reading.rho)) evidence.add(report)
    const fit = fitEvidence(evidence, options)
    this.#reports.takeMessages(fit)
    return fit
  }

  #read(fit: Fit, weights: MemberWeights, { onlyPeriods = false } = {}): SecondReading {
    const reading = new SecondReading(fit, { ...this.#reading, onlyPeriods })
    for (const report of this.#reports.reports(weights, this.#reading.rho)) reading.add(report)
    return reading
  }

  /** With the machine tier once more, unless all are to be held. */
  #hyperOf({ hyper }: Fit, reading: SecondReading): Hyper {
    if (this.#options.hold) return hyper
    return { ...hyper, ...machineTier([...reading.told().printerPeriods.values()], hyper) }
  }

  #standingsIn(fit: Fit): Map<string, Standing> {
    const members = new MemberReading(fit, this.#reading)
    const alone = this.#reports.ofOneMember()
    for (const report of this.#reports.reports(undefined, this.#reading.rho)) {
      members.add(report.memberId, report, { isAlone: alone.has(report.supportSet) })
    }
    return members.standings()
  }
}

/** @param fits one after the other; the last one's results stand */
function fittedAs(fits: [...Fit[], Fit], told: Pick<GroupFitted, 'supportSets' | 'printerPeriods'>) {
  const { hyper, plates, groups, sites } = fits[fits.length - 1] as Fit
  const sweeps = fits.reduce((sum, fit) => sum + fit.sweeps, 0)
  const capped = fits.some((fit) => fit.capped)
  return { hyper, plates, groups, sites, sweeps, capped, ...told, samples: 0 }
}
