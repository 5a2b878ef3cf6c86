// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import type { Draws } from './draws.ts'

/** Nobody prints more than so many copies for one good one before giving up: attempts are capped here. */
export const mostAttempts = 20

/**
 * Copies to print per good copy, on average: E[min(20, 1/p)].
 *
 * @param success draws of the chance that a copy comes out: file, machine and plate (productOf)
 * @returns 1 to 20
 */
export function attemptsPerGood(success: Draws): number {
  let sum = 0
  for (const p of success) sum += Math.min(mostAttempts, 1 / p)
  return sum / success.length
}

/** Beyond so many failures a quantile is no plan any more; the search ends here. */
export const mostFailures = 100_000

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
