// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { productShape } from './attempts.ts'
import { mean, type Shape, variance } from './beta.ts'
import { chancesBySet, type LabelTable, seenLabels, stageSets, stages } from './labels.ts'
import { countOf, type FirstReading, outlookOf } from './outlook.ts'
import { copyWeight, startingRho } from './priors.ts'
import type { Report } from './reports.ts'
import { sizeOfTies } from './ties.ts'

/** Ways of reporting that tell others what is not so; the first three go by what was seen, the others by the counts. */
export const habits = [
  'says file whatever it was',
  'says printer whatever it was',
  'says plate whatever it was',
  'leaves out plates that came out',
  'leaves out plates that failed',
] as const
export type Habit = (typeof habits)[number]

/** How a member's reports look beside everybody else's. */
export type Standing = {
  reports: number
  /** how many times better a habit explains the reports than honest reporting does, as a logarithm to base 10 */
  surprise: number
  /** the habit that explains them best */
  habit: Habit
  /** what the member's evidence counts */
  weight: number
}

/**
 * From a hundred to one on, as a logarithm to base 10, a member's evidence counts half. Of honest members at most one in a
 * hundred gets there by bad luck: a ratio of chances is on average 1 under what stands below the line, so that it rarely
 * is large (Markov). The study shows how few they are.
 */
const surpriseLimit = 2
/** (Common practice, no source; the study shows what it is good for.) */
const doubtedWeight = 0.5

/** How often somebody with a habit acts on it. */
const constancy = 0.9

type Options = { rho?: number; labels?: LabelTable }

/**
 * Holds every report of a fit against what all other evidence lets one expect of its file, printer and plate, and adds up
 * for every member how much better each habit explains what they report.
 *
 * @see Wald (1945), Sequential tests of statistical hypotheses, Annals of Mathematical Statistics 16, 117-186
 */
export class MemberReading {
  readonly #fit: FirstReading
  readonly #rho: number
  readonly #looks: Looks
  readonly #sums = new Map<string, { reports: number; logs: Float64Array }>()

  constructor(fit: FirstReading, { rho = startingRho, labels = seenLabels }: Options = {}) {
    this.#fit = fit
    this.#rho = rho
    this.#looks = new Looks(labels)
  }

  /**
   * @param report with the messages that the fit has left
   * @param isAlone nobody else has reported on these supports: there is nobody to contradict, so it tells nothing
   * @throws RangeError for one that the fit has not read
   */
  add(memberId: string, report: Report<string>, { isAlone = false } = {}): void {
    const { tried } = countOf(report, this.#rho)
    if (tried === 0) return
    const sum = this.#sums.get(memberId) ?? { reports: 0, logs: new Float64Array(habits.length) }
    this.#sums.set(memberId, sum)
    sum.reports++
    if (isAlone) return
    const outlook = outlookOf(this.#fit, report, this.#rho)
    const isGood = report.good === tried
    const good = chanceOfAllGood(outlook, tried, this.#rho)
    sum.logs[3]! += Math.log((isGood ? 1 - constancy : 1) / (1 - constancy * good))
    sum.logs[4]! += Math.log((isGood ? 1 : 1 - constancy) / (1 - constancy * (1 - good)))
    const worth = copyWeight(tried, this.#rho)
    for (const { seen, copies } of report.failures) this.#looks.add(sum.logs, outlook.map(mean), seen, copies * worth)
  }

  /** All members who have reported. */
  standings(): Map<string, Standing> {
    return new Map(Array.from(this.#sums, ([memberId, { reports, logs }]) => [memberId, standingOf(reports, logs)]))
  }
}

function standingOf(reports: number, logs: Float64Array): Standing {
  const most = Math.max(...logs)
  // A habit each may be the right one: their average is still 1 on average.
  const log = most + Math.log(logs.reduce((sum, one) => sum + Math.exp(one - most), 0) / logs.length)
  const surprise = log / Math.LN10
  const habit = habits[logs.indexOf(most)] ?? habits[0]
  return { reports, surprise, habit, weight: surprise > surpriseLimit ? doubtedWeight : 1 }
}

/** Chance that a whole plate comes out, when its copies share their fate and nobody is quite sure of the stages. */
function chanceOfAllGood(outlook: readonly Shape[], tried: number, rho: number): number {
  const whole = productShape(outlook)
  const success = mean(whole)
  const spread = variance(whole) / (success * (1 - success))
  const size = sizeOfTies(rho + (1 - rho) * spread)
  let chance = 1
  for (let copy = 0; copy < Math.min(tried, mostCopies); copy++) chance *= (size * success + copy) / (size + copy)
  return chance
}

/** So many copies say as much as more of them would. */
const mostCopies = 1000

/** What failed copies look like. */
class Looks {
  /** by label: its chance given each set of failed stages, and given each stage alone */
  readonly #bySet = new Map<string, readonly number[]>()
  readonly #byStage = new Map<string, readonly number[]>()

  constructor(table: LabelTable) {
    const rows = Object.entries(table).filter(([label]) => label !== "don't know")
    const bySet = rows.map(([label, row]) => [label, chancesBySet(row)] as const)
    const sums = Array.from({ length: stageSets }, (_, failed) =>
      bySet.reduce((sum, [, chances]) => sum + (chances[failed] ?? 0), 0),
    )
    for (const [label, chances] of bySet) {
      this.#bySet.set(
        label,
        chances.map((chance, failed) => chance / (sums[failed] || 1)),
      )
      this.#byStage.set(
        label,
        stages.map((_, stage) => chances[1 << stage]! / sums[1 << stage]!),
      )
    }
  }

  /** Adds how much better "whatever it was, it was this stage" explains a look than what the stages are taken for. */
  add(logs: Float64Array, success: readonly number[], seen: string, copies: number): void {
    const bySet = this.#bySet.get(seen)
    const byStage = this.#byStage.get(seen)
    if (!bySet || !byStage) return
    let [expected, all] = [0, 0]
    for (let failed = 1; failed < stageSets; failed++) {
      let chance = 1
      success.forEach((p, stage) => {
        chance *= failed & (1 << stage) ? 1 - p : p
      })
      expected += chance * bySet[failed]!
      all += chance
    }
    stages.forEach((_, stage) => {
      logs[stage]! += copies * Math.log(1 - constancy + (constancy * byStage[stage]! * all) / expected)
    })
  }
}
