import { mean, type Shape } from './beta.ts'
import type { Told } from './cases.ts'
import type { Fit, FittedSet } from './fit.ts'
import { chancesOf, type LabelTable, seenLabels } from './labels.ts'
import { type Crowding, crowdings, type Hyper, platePriors, startingRho, type Total } from './priors.ts'
import type { Report } from './reports.ts'
import { TiedChain } from './tied-chain.ts'
import { TiedReports } from './tied-reports.ts'
import { sizeOfTies } from './ties.ts'

type Options = { rho?: number; labels?: LabelTable }

/** Always the same, so that the same reports show the same figures. */
const seed = 1
const leastSweeps = 1000
const mostSweeps = 2000
const usualSeconds = 0.5
const mostSeconds = 60
/** So many more, of those that count, are run before, for the chain to find its way. */
const findingItsWay = 0.2

/** What sampling finds of a group. */
export type SampledGroup = {
  hyper: Hyper
  plates: Record<Crowding, Total>
  /** sweeps that it rests on */
  samples: number
  /** the sets and periods of a fit that holds this `hyper`, with their cases */
  told: (fit: Pick<Fit, 'supportSets' | 'printerPeriods'>) => {
    supportSets: Map<string, FittedSet & Told>
    printerPeriods: Map<string, Told>
  }
}

/**
 * Samples a group's posterior: right also where stages hang together, and about what all printers have in common with all
 * plates, of which expectation propagation is too sure.
 *
 * @param reports all that the fit has read, with their weights
 * @param fit where the chain starts
 * @returns undefined without reports, and when it would take more than about a minute
 */
export function sampleGroup(
  reports: Iterable<Report<string>>,
  fit: Fit,
  { rho = startingRho, labels = seenLabels }: Options = {},
): SampledGroup | undefined {
  const laidOut = new TiedReports()
  for (const report of reports) laidOut.add(report, chancesOf(labels))
  const { sets, periods } = laidOut
  const sweeps = affordableSweeps(laidOut)
  if (laidOut.count === 0 || sweeps === 0) return undefined
  const chain = new TiedChain(laidOut, {
    size: sizeOfTies(rho),
    hyper: fit.hyper,
    success: startingSuccess(laidOut, fit),
    table: chancesOf(labels).table,
    seed,
  })
  chain.run(findingItsWay * sweeps, false)
  chain.run(sweeps, true)
  const { counts, hyper } = chain
  const ofPrinters: Shape = [hyper.am, hyper.bm]
  const platesFrom = sets.count + periods.count
  const plate = (crowding: Crowding): Total => {
    const [a, b] = counts.shape(platesFrom + crowdings.indexOf(crowding))
    return { x: a - platePriors[crowding][0], y: b - platePriors[crowding][1] }
  }
  return {
    hyper,
    samples: sweeps,
    plates: { loose: plate('loose'), normal: plate('normal'), packed: plate('packed') },
    told: ({ supportSets, printerPeriods }) => ({
      supportSets: mapped(supportSets, (set, name) => {
        return { ...set, cases: counts.casesOfEvidence(sets.indexOf(name), [set.priorA, set.priorB]) }
      }),
      printerPeriods: mapped(printerPeriods, (period, name) => {
        return { ...period, cases: counts.casesOfLaw(sets.count + periods.indexOf(name), ofPrinters) }
      }),
    }),
  }
}

function mapped<Value, Next>(values: ReadonlyMap<string, Value>, next: (value: Value, name: string) => Next) {
  return new Map(Array.from(values, ([name, value]) => [name, next(value, name)] as const))
}

/** Seconds as once measured: computers differ, but the number of sweeps must not. */
function affordableSweeps({ copies, row, count, nodeCount, groups }: TiedReports): number {
  const sweep = 1e-9 * (5 * copies + 80 * row.length + 60 * count + 500 * nodeCount + 600 * groups.count + 2000)
  if (leastSweeps * sweep > mostSeconds) return 0
  return Math.max(leastSweeps, Math.min(mostSweeps, Math.floor(usualSeconds / sweep)))
}

function startingSuccess(
  { sets, periods, nodeCount }: TiedReports,
  { hyper, supportSets, printerPeriods, plates }: Fit,
): Float64Array {
  const success = new Float64Array(nodeCount)
  sets.names.forEach((name, index) => {
    const { priorA, priorB, x, y } = supportSets.get(name) ?? { priorA: 1, priorB: 1, x: 0, y: 0 }
    success[index] = mean([priorA + x, priorB + y])
  })
  periods.names.forEach((name, index) => {
    const { x, y } = printerPeriods.get(name) ?? { x: 0, y: 0 }
    success[sets.count + index] = mean([hyper.am + x, hyper.bm + y])
  })
  crowdings.forEach((crowding, index) => {
    const [a, b] = platePriors[crowding]
    const { x, y } = plates[crowding]
    success[sets.count + periods.count + index] = mean([a + x, b + y])
  })
  return success
}
