import { logBeta, mean, type Shape, type Summary, summary } from './beta.ts'
import { casesOf, type Told } from './cases.ts'
import { mixtureSummary, type Part } from './mixture.ts'
import { type Crowding, type Hyper, platePriors, type Total } from './priors.ts'
import { matchedShape, type SculptorGrid, sculptorGrid, successParts } from './sculptor-grid.ts'
import { isEvident } from './sculptors.ts'

/** Mean and 80 % interval of a success, and how many copies' worth of evidence stand behind it. */
export type Success = Summary & { copies: number; shape: Shape }

/**
 * Print success of a support set: its own reports, and its sculptor's other sets through the sculptor's mean, which is
 * integrated out on a grid. Mean and interval are those of the mixture; `shape` is the one Beta nearest to it.
 *
 * @param set its total; 0, 0 for a set nobody has printed
 * @param others totals of the same sculptor's other sets; none for a sculptor without a record
 */
export function successOfSet(set: Told, others: readonly Told[], hyper: Hyper): Success {
  return successOnGrid(sculptorGrid([set, ...others].filter(isEvident), hyper), set)
}

/** The same with the grid that was made of all of the sculptor's sets, this one included. */
export function successOnGrid(grid: SculptorGrid, set: Told): Success {
  return mixedSuccess(successParts(grid, set), set)
}

/** Success of a printer since its last upkeep. */
export function successOfPeriod(period: Told, hyper: Hyper): Success {
  if (period.cases === undefined) return plainSuccess([hyper.am, hyper.bm], period)
  return mixedSuccess(periodParts(period, hyper), period)
}

/** The law of a printer period's success, as a mixture of Betas. */
export function periodParts(period: Told, { am, bm }: Pick<Hyper, 'am' | 'bm'>): Part[] {
  const shapes = casesOf(period).map(({ x, y }): Shape => [am + x, bm + y])
  const logs = casesOf(period).map(({ log }, index) => log + logBeta(...(shapes[index] ?? [1, 1])))
  const most = Math.max(...logs)
  const sum = logs.reduce((total, log) => total + Math.exp(log - most), 0)
  return shapes.map((shape, index) => ({ weight: Math.exp((logs[index] ?? most) - most) / sum, shape }))
}

function mixedSuccess(parts: readonly Part[], total: Total): Success {
  return { ...mixtureSummary(parts, matchedShape(parts)), copies: copiesOf(total) }
}

/**
 * A machine in good order: the group's median printer, for costs that are not about anybody's own.
 *
 * @param periods the printers' present periods; none gives what a printer is taken for after upkeep
 */
export function medianMachine(periods: readonly Total[], hyper: Hyper): Shape {
  const shapes = periods.map((period): Shape => [hyper.am + period.x, hyper.bm + period.y])
  const ordered = shapes.toSorted((one, other) => mean(one) - mean(other))
  return ordered[Math.floor((ordered.length - 1) / 2)] ?? [hyper.am, hyper.bm]
}

/** Success of a plate of one crowding. */
export function successOfPlate(crowding: Crowding, plate: Total): Success {
  return plainSuccess(platePriors[crowding], plate)
}

function plainSuccess([a, b]: Shape, total: Total): Success {
  const shape: Shape = [a + total.x, b + total.y]
  return { ...summary(shape), copies: copiesOf(total), shape }
}

/** Copies' worth of evidence; an uncertain blame can leave a total slightly below 0. */
export function copiesOf({ x, y }: Total): number {
  return Math.max(0, x + y)
}
