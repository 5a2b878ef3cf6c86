// biome-ignore-all lint/style/noNonNullAssertion: draws indexed within their bounds by construction
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

/** Nobody prints more than so many copies for one good one before giving up: attempts are capped here. */
const mostAttempts = 20

/**
 * Copies to print per good copy, on average: E[min(20, 1/p)].
 *
 * @param success draws of the chance that a copy comes out: file, machine and plate (productOf)
 * @returns 1 to 20
 */
export function attemptsPerGood(success: Draws): number {
  return meanOf(success.map((p) => Math.min(mostAttempts, 1 / p)))
}

/** Beyond so many failures a quantile is no plan any more; the search ends here. */
const mostFailures = 100_000

/**
 * Failures before the wanted number of good copies that are not exceeded with the given chance: a quantile of the
 * negative binomial, mixed over the draws.
 *
 * @param wanted N, good copies wanted, whole and >= 0
 * @param success draws of the chance that a copy comes out
 * @param chance 0.9 for "9 in 10 do no worse"
 * @returns a whole number, at most `mostFailures`
 */
export function badLuckFailures(wanted: number, success: Draws, chance = 0.9): number {
  if (wanted === 0) return 0
  // By draw, the logarithm of the chance of so many failures: from none on, one more at a time.
  const logs = success.map((p) => wanted * Math.log(p))
  const perFailure = success.map((p) => Math.log1p(-p))
  let reached = meanOfExponentials(logs)
  let failures = 0
  while (reached < chance && failures < mostFailures) {
    const ways = Math.log((wanted + failures) / (failures + 1))
    for (let draw = 0; draw < logs.length; draw++) logs[draw]! += ways + perFailure[draw]!
    failures++
    reached += meanOfExponentials(logs)
  }
  return failures
}

function meanOfExponentials(logs: Float64Array): number {
  let sum = 0
  for (const log of logs) sum += Math.exp(log)
  return sum / logs.length
}

/**
 * What it costs to get N good copies onto the table: price + N resin + plates + failures + time for snags. With A the
 * expected attempts per good copy, N (A - 1) copies fail on the way: each costs its resin and its clean-up, and takes its
 * share of a plate; a plate on which anything failed costs its clean-up. Plates for the good copies are whole, those for
 * what has to be printed again go by the share. Each term is rounded, and the sum is that of the rounded terms.
 *
 * @returns terms in whole minor units
 * @throws RangeError when a number is negative or not finite, `wanted` not whole, or no copy fits on a plate
 */
export function expectedCost(input: CostInput) {
  const { success, ...numbers } = input
  if (!Number.isInteger(input.wanted) || !Object.values(numbers).every((n) => Number.isFinite(n) && n >= 0)) {
    throw new RangeError('cost to table needs numbers >= 0 and a whole number of copies')
  }
  if (input.copiesPerPlate < 1) throw new RangeError('a plate takes one copy at least')
  const { wanted, copiesPerPlate } = input
  const attempts = attemptsOf([success], () => attemptsPerGood(success))
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
    /** the terms above */
    costToTableMinor: Object.values(terms).reduce((total, term) => total + term, 0),
    attemptsPerGood: attempts,
    /** copies that fail on the way to the good ones, on average */
    expectedFailures,
    /** plates on average, those for the failures included */
    expectedPlates: platesForGood + expectedFailures / copiesPerPlate,
  }
}

/** The expected cost with what as many failures as 9 in 10 do not exceed make of it: takes longer. @throws as `expectedCost` */
export function costToTable(input: CostInput) {
  const expected = expectedCost(input)
  const { wanted, success } = input
  const unlucky = unluckyOf([success, wanted], () => badLuckFailures(wanted, success))
  const more = Math.max(0, Math.round(failureCost(input, unlucky)) - expected.failuresMinor)
  return { ...expected, badLuckFailures: unlucky, badLuckCostMinor: expected.costToTableMinor + more }
}

const attemptsOf = oncePerRow<number>()
const unluckyOf = oncePerRow<number>()

export type ExpectedCost = ReturnType<typeof expectedCost>
export type CostToTable = ReturnType<typeof costToTable>

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
