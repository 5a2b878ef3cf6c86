import { expectedAttempts, mostAttempts } from '../../server/scoring/attempts.ts'
import { mean, type Shape } from '../../server/scoring/beta.ts'
import { costToTable } from '../../server/scoring/cost.ts'
import type { GroupFitted } from '../../server/scoring/group-fit.ts'
import { platePriors } from '../../server/scoring/priors.ts'
import type { Random } from '../../server/scoring/random.ts'
import type { Success } from '../../server/scoring/success.ts'
import { medianMachine } from '../../server/scoring/success.ts'
import { kendallTau, Mean } from './measures.ts'
import { countCopies, countOwnCopies, naiveRules } from './naive.ts'
import type { World } from './worlds.ts'

/** How well one rule orders and picks: Kendall's tau, attempts per good copy and money lost by its picks. */
export type Picks = { tau: Mean; attempts: Mean; cost: Mean }
export const noPicks = (): Picks => ({ tau: new Mean(), attempts: new Mean(), cost: new Mean() })

/** What a rule makes of a support set: an order, attempts per good copy of the file alone, and of all three stages. */
type Opinion = { success: number; attempts: number; shapes: readonly Shape[] | number }
type Rule = (set: string) => Opinion

export const serviceName = 'this service'

/** The service's opinion and those of the naive rules, by name. */
export function rulesFor(world: World, fit: GroupFitted, successes: Map<string, Success>): Map<string, Rule> {
  const plate: Shape = [platePriors.normal[0] + fit.plates.normal.x, platePriors.normal[1] + fit.plates.normal.y]
  const machine = medianMachine([...fit.printerPeriods.values()], fit.hyper)
  const rules = new Map<string, Rule>()
  rules.set(serviceName, (set) => {
    const success = successes.get(set)
    const shape: Shape = success?.shape ?? [1, 1]
    return { success: success?.mean ?? mean(shape), attempts: expectedAttempts(shape), shapes: [shape, machine, plate] }
  })
  const all = countCopies(world.reports)
  const own = countOwnCopies(world.reports)
  for (const [name, rule] of Object.entries(naiveRules)) {
    const counts = name.endsWith('dropped') ? own : all
    rules.set(name, (set) => {
      const success = rule(counts.get(set) ?? { good: 0, tried: 0 })
      const attempts = attemptsAt(success)
      return { success, attempts, shapes: attempts }
    })
  }
  return rules
}

const attemptsAt = (success: number) => 1 / Math.max(1 / mostAttempts, success)

/** Six files to choose from, as a request would have them: what each costs to get and to print. */
type Alternative = { set: string; priceMinor: number; resinMlPerCopy: number }

const alternatives = 6

/**
 * Lets every rule pick for requests with six alternatives each, on a machine in good order and a normal plate.
 *
 * @param sets to draw the alternatives from
 */
export function pickWithin(
  { world, rules, sets }: { world: World; rules: Map<string, Rule>; sets: readonly string[] },
  requests: number,
  random: Random,
): Map<string, Picks> {
  const picks = new Map([...rules.keys()].map((name) => [name, noPicks()]))
  if (sets.length < alternatives) return picks
  for (let request = 0; request < requests; request++) {
    const choice = drawAlternatives(sets, random)
    const wanted = 1 + Math.floor(20 * random.uniform())
    const truth = choice.map(({ set }) => world.supportSets.get(set) ?? Number.NaN)
    const trueCost = choice.map((one, index) => costAt(one, wanted, attemptsAt((truth[index] ?? 0) * inGoodOrder)))
    for (const [name, rule] of rules) {
      const opinions = choice.map(({ set }) => rule(set))
      const tau = kendallTau(
        opinions.map(({ success }) => success),
        truth,
      )
      const pick = picks.get(name) ?? noPicks()
      // A rule that finds all six alike orders nothing.
      pick.tau.add(Number.isNaN(tau) ? 0 : tau)
      pick.attempts.add(
        regret(
          opinions.map(({ attempts }) => attempts),
          truth.map(attemptsAt),
        ),
      )
      pick.cost.add(
        regret(
          choice.map((one, index) => costFor(one, wanted, opinions[index])),
          trueCost,
        ) / 100,
      )
    }
  }
  return picks
}

/** What a machine in good order and a normal plate leave: the middle of fresh printers times the plates' mean. */
const inGoodOrder = 0.96 * 0.95

function drawAlternatives(sets: readonly string[], random: Random): Alternative[] {
  const chosen = new Set<string>()
  while (chosen.size < alternatives) chosen.add(sets[Math.floor(sets.length * random.uniform())] ?? '')
  return [...chosen].map((set) => ({
    set,
    priceMinor: Math.round(100 * Math.floor(13 * random.uniform())),
    resinMlPerCopy: 3 + 17 * random.uniform(),
  }))
}

/** Density and price of the resin, and clean-up, as the service starts with (common practice, no source). */
const money = { densityGPerMl: 1.1, resinPricePerKgMinor: 3000, cleanUpPerFailedCopyMinor: 50 }

function costFor(one: Alternative, wanted: number, opinion: Opinion | undefined): number {
  if (opinion === undefined || typeof opinion.shapes === 'number') return costAt(one, wanted, opinion?.attempts ?? 1)
  const { priceMinor, resinMlPerCopy } = one
  const rest = { ...money, snagMinutes: 0, timePerHourMinor: 0, shapes: opinion.shapes }
  return costToTable({ wanted, priceMinor, resinMlPerCopy, ...rest }).costToTableMinor
}

function costAt({ priceMinor, resinMlPerCopy }: Alternative, wanted: number, attempts: number): number {
  const resin = (resinMlPerCopy * money.densityGPerMl * money.resinPricePerKgMinor) / 1000
  return priceMinor + wanted * (resin + (attempts - 1) * (resin + money.cleanUpPerFailedCopyMinor))
}

/** How much worse the truth of what looks least is than the least truth; ties go to the first, which is any. */
function regret(looks: readonly number[], truth: readonly number[]): number {
  const picked = looks.indexOf(Math.min(...looks))
  return (truth[picked] ?? Number.NaN) - Math.min(...truth)
}
