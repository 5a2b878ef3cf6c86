import { attemptsPerGood, badLuckFailures } from './attempts.ts'
import { type Draws, meanOf } from './draws.ts'
import { oncePerRow } from './once.ts'

/** Money is in minor units of the group's currency (cents; yen where there are none), rates may have fractions. */
export type CostInput = {
  /** N, good copies wanted */
  wanted: number
  /** cheapest way to get the file; 0 if it is in the archive */
  priceMinor: number
  resinMlPerCopy: number
  densityGPerMl: number
  resinPricePerKgMinor: number
  /** gloves, paper, alcohol and time for one failed copy */
  cleanUpPerFailedCopyMinor: number
  /** emptying and filtering the vat after a plate on which something failed */
  cleanUpPerFailedPlateMinor: number
  /** film, gloves, alcohol and power of one plate */
  perPlateMinor: number
  /** as many as go on one plate, >= 1 */
  copiesPerPlate: number
  /** minutes that the file's open snags take, in all */
  snagMinutes: number
  /** what an hour of the member's is worth */
  timePerHourMinor: number
  /** chance that a copy comes out: file, machine and plate (successOf in chances.ts) */
  success: Draws
  /** chance that not all copies of a full plate come out */
  plateFails: number
}

/** Every term in whole minor units; the first five add up to `costToTableMinor`. */
export type ExpectedCost = {
  priceMinor: number
  resinForGoodMinor: number
  platesMinor: number
  failuresMinor: number
  snagTimeMinor: number
  costToTableMinor: number
  attemptsPerGood: number
  /** copies that fail on the way to the good ones, on average */
  expectedFailures: number
  /** plates on average, those for the failures included */
  expectedPlates: number
}

export type CostToTable = ExpectedCost & {
  /** the same with as many failures as 9 in 10 do not exceed */
  badLuckCostMinor: number
  badLuckFailures: number
}

/**
 * What it costs to get N good copies onto the table: price + N resin + plates + failures + time for snags. With A the
 * expected attempts per good copy, N (A - 1) copies fail on the way: each costs its resin and its clean-up, and takes its
 * share of a plate; a plate on which anything failed costs its clean-up. Plates for the good copies are whole, those for
 * what has to be printed again go by the share. Each term is rounded, and the sum is that of the rounded terms.
 *
 * @throws RangeError when a number is negative or not finite, `wanted` not whole, or no copy fits on a plate
 */
export function expectedCost(input: CostInput): ExpectedCost {
  const { success, ...numbers } = input
  if (!Number.isInteger(input.wanted) || !Object.values(numbers).every((n) => Number.isFinite(n) && n >= 0)) {
    throw new RangeError('cost to table needs numbers >= 0 and a whole number of copies')
  }
  if (input.copiesPerPlate < 1) throw new RangeError('a plate takes one copy at least')
  const { wanted, copiesPerPlate } = input
  const attempts = attemptsOf(success, 0, () => attemptsPerGood(success))
  const expectedFailures = wanted * (attempts - 1)
  const platesForGood = Math.ceil(wanted / copiesPerPlate)
  const terms = {
    priceMinor: Math.round(input.priceMinor),
    resinForGoodMinor: Math.round(wanted * resinPerCopy(input)),
    platesMinor: Math.round(platesForGood * input.perPlateMinor),
    failuresMinor: Math.round(failureCost(input, expectedFailures)),
    snagTimeMinor: Math.round((input.snagMinutes / 60) * input.timePerHourMinor),
  }
  return {
    ...terms,
    costToTableMinor: Object.values(terms).reduce((total, term) => total + term, 0),
    attemptsPerGood: attempts,
    expectedFailures,
    expectedPlates: platesForGood + expectedFailures / copiesPerPlate,
  }
}

/** The expected cost with what bad luck makes of it, which takes longer to work out. @throws as `expectedCost` */
export function costToTable(input: CostInput): CostToTable {
  const expected = expectedCost(input)
  const { wanted, success } = input
  const unlucky = unluckyOf(success, wanted, () => badLuckFailures(wanted, success))
  const more = Math.max(0, Math.round(failureCost(input, unlucky)) - expected.failuresMinor)
  return { ...expected, badLuckFailures: unlucky, badLuckCostMinor: expected.costToTableMinor + more }
}

const attemptsOf = oncePerRow<number>()
const unluckyOf = oncePerRow<number>()

function resinPerCopy({ resinMlPerCopy, densityGPerMl, resinPricePerKgMinor }: CostInput): number {
  return (resinMlPerCopy * densityGPerMl * resinPricePerKgMinor) / 1000
}

/** Of so many failed copies: resin, clean-up, plates to print them again, and the clean-up of the plates they failed on. */
function failureCost(input: CostInput, failures: number): number {
  const { cleanUpPerFailedCopyMinor, cleanUpPerFailedPlateMinor, perPlateMinor, copiesPerPlate } = input
  const perCopy = resinPerCopy(input) + cleanUpPerFailedCopyMinor + perPlateMinor / copiesPerPlate
  return failures * perCopy + failedPlates(input, failures) * cleanUpPerFailedPlateMinor
}

/** Copies that fail come in plates: as many to a failed plate as are expected on one that fails. */
function failedPlates({ success, plateFails, copiesPerPlate }: CostInput, failures: number): number {
  const perFailedPlate = (copiesPerPlate * (1 - meanOf(success))) / Math.max(plateFails, Number.MIN_VALUE)
  return failures === 0 ? 0 : failures / Math.max(1, perFailedPlate)
}
