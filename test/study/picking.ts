import type { Random } from '../../server/scoring/random.ts'
import { Mean } from './measures.ts'

/** What a rule makes of a line: how many copies it takes for a good one. */
export type Rule = (line: string) => number

/** Six files to choose from, as a request would have them: what each costs to get and to print. */
type Alternative = { line: string; priceMinor: number; resinMlPerCopy: number }

const alternatives = 6
const mostAttempts = 20

/** Density and price of the resin, and clean-up, as the service starts with (common practice, no source). */
const money = { densityGPerMl: 1.1, resinPricePerKgMinor: 3000, cleanUpPerFailedCopyMinor: 50 }

export const attemptsAt = (success: number) => Math.min(mostAttempts, 1 / success)

/**
 * Lets every rule pick for requests with six alternatives each.
 *
 * @param lines to draw alternatives from
 * @param truth attempts per good copy
 * @returns by rule, money lost a request: what its pick truly costs above the best one, in whole units
 */
export function moneyLost(
  { rules, lines, truth }: { rules: ReadonlyMap<string, Rule>; lines: readonly string[]; truth: Rule },
  requests: number,
  random: Random,
): Map<string, Mean> {
  const lost = new Map([...rules.keys()].map((name) => [name, new Mean()]))
  if (lines.length < alternatives) return lost
  for (let request = 0; request < requests; request++) {
    const choice = drawAlternatives(lines, random)
    const wanted = 1 + Math.floor(20 * random.uniform())
    const trueCost = choice.map((one) => costAt(one, wanted, truth(one.line)))
    for (const [name, rule] of rules) {
      const estimates = choice.map((one) => costAt(one, wanted, rule(one.line)))
      lost.get(name)?.add(regret(estimates, trueCost) / 100)
    }
  }
  return lost
}

function drawAlternatives(lines: readonly string[], random: Random): Alternative[] {
  const chosen = new Set<string>()
  while (chosen.size < alternatives) chosen.add(lines[Math.floor(lines.length * random.uniform())] ?? '')
  return [...chosen].map((line) => ({
    line,
    priceMinor: Math.round(100 * Math.floor(13 * random.uniform())),
    resinMlPerCopy: 3 + 17 * random.uniform(),
  }))
}

function costAt({ priceMinor, resinMlPerCopy }: Alternative, wanted: number, attempts: number): number {
  const resin = (resinMlPerCopy * money.densityGPerMl * money.resinPricePerKgMinor) / 1000
  return priceMinor + wanted * (resin + (attempts - 1) * (resin + money.cleanUpPerFailedCopyMinor))
}

/** How much worse the truth of the least estimate is than the least truth; ties go to the first, which is any. */
function regret(estimates: readonly number[], truth: readonly number[]): number {
  const picked = estimates.indexOf(Math.min(...estimates))
  return (truth[picked] ?? Number.NaN) - Math.min(...truth)
}
