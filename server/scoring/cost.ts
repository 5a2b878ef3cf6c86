import { attemptsPerGood, badLuckFailures } from './attempts.ts'
import type { Shape } from './beta.ts'

/** Money is in minor units of the group's currency (cents; yen where there are none), rates may have fractions. */
export type CostQuestion = {
  /** N, good copies wanted */
  wanted: number
  /** cheapest way to get the file; 0 if it is in the archive */
  priceMinor: number
  resinMlPerCopy: number
  densityGPerMl: number
  resinPricePerKgMinor: number
  /** gloves, paper, alcohol and time for one failed copy */
  cleanUpPerFailedCopyMinor: number
  /** minutes that the file's open snags take, in all */
  snagMinutes: number
  /** what an hour of the member's is worth */
  timePerHourMinor: number
  /** file, printer and plate */
  shapes: readonly Shape[]
}

/** Every term in whole minor units; the first four add up to `costToTableMinor`. */
export type CostToTable = {
  priceMinor: number
  resinForGoodMinor: number
  failuresMinor: number
  snagTimeMinor: number
  costToTableMinor: number
  /** the same with as many failures as 9 in 10 do not exceed */
  badLuckCostMinor: number
  attemptsPerGood: number
  badLuckFailures: number
}

/**
 * What it costs to get N good copies onto the table: price + N resin + N (A - 1)(resin + clean-up) + time for snags,
 * with A the expected attempts per good copy. Each term is rounded, and the sum is that of the rounded terms.
 *
 * @throws RangeError when a number is negative or not finite, or `wanted` not whole
 */
export function costToTable(question: CostQuestion): CostToTable {
  const { shapes, ...numbers } = question
  if (!Number.isInteger(question.wanted) || !Object.values(numbers).every((n) => Number.isFinite(n) && n >= 0)) {
    throw new RangeError('cost to table needs numbers >= 0 and a whole number of copies')
  }
  const { wanted } = question
  const resinPerCopy = (question.resinMlPerCopy * question.densityGPerMl * question.resinPricePerKgMinor) / 1000
  const perFailure = resinPerCopy + question.cleanUpPerFailedCopyMinor
  const attempts = attemptsPerGood(shapes)
  const unlucky = badLuckFailures(wanted, shapes)
  const priceMinor = Math.round(question.priceMinor)
  const resinForGoodMinor = Math.round(wanted * resinPerCopy)
  const failuresMinor = Math.round(wanted * (attempts - 1) * perFailure)
  const snagTimeMinor = Math.round((question.snagMinutes / 60) * question.timePerHourMinor)
  const certain = priceMinor + resinForGoodMinor + snagTimeMinor
  return {
    priceMinor,
    resinForGoodMinor,
    failuresMinor,
    snagTimeMinor,
    costToTableMinor: certain + failuresMinor,
    badLuckCostMinor: certain + Math.round(unlucky * perFailure),
    attemptsPerGood: attempts,
    badLuckFailures: unlucky,
  }
}
