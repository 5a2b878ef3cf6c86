import { checkInstance } from './check-instance.ts'
import { compareText } from './compare.ts'
import { dropOffers } from './drop.ts'
import { type Usable, usable } from './filters.ts'
import { greedyThenDrop } from './greedy.ts'
import type { Instance, Options } from './instance.ts'
import { planOf } from './plan.ts'
import { gapOf, type PlanResult, type ThemePlan } from './plan-result.ts'
import { isAllowed, isBetter, type Problem, problemOf, type Solution, serve } from './problem.ts'

/** The roster under one theme, or none, and the best that is known for it. */
export type ThemeSearch = {
  styleTag: string | undefined
  problem: Problem
  best: Solution
  /** no solution that leaves as few out has a smaller objective */
  bound: number
  proven: boolean
}

/** What is known about a roster while it is being planned; begins with a greedy plan under each theme. */
export class Search {
  readonly instance: Instance
  readonly found: Usable
  /** the first has no theme */
  readonly themes: ThemeSearch[]
  coverProven = false
  /** of all themes together, where they are chosen within one model */
  jointBound: number | undefined
  readonly #started = performance.now()
  #best: ThemeSearch

  /** @throws RangeError when the instance makes no sense */
  constructor(instance: Instance) {
    checkInstance(instance)
    this.instance = instance
    this.found = usable(instance)
    this.themes = [undefined, ...tagsOf(this.found, instance)].map((styleTag) => {
      const problem = problemOf(this.found, instance.options, { styleTag })
      return {
        styleTag,
        problem,
        best: firstOf(problem, this.found, instance.options),
        bound: Number.NEGATIVE_INFINITY,
        proven: false,
      }
    })
    this.#best = this.themes.reduce((best, theme) => (isBetter(theme.best, best.best) ? theme : best))
  }

  get best(): Solution {
    return this.#best.best
  }

  /** Serves the roster from these offers, or as many of them as it needs; @returns whether that beats all before */
  consider(theme: ThemeSearch, open: readonly boolean[]): boolean {
    const solution = dropOffers(serve(theme.problem, open), theme.problem)
    if (!isAllowed(solution, theme.problem) || !isBetter(solution, theme.best)) return false
    theme.best = solution
    if (theme !== this.#best && !isBetter(solution, this.best)) return false
    this.#best = theme
    return true
  }

  result(ended: PlanResult['ended']): PlanResult {
    const { best, styleTag } = this.#best
    const boundMinor = this.#bound()
    return {
      plan: planOf(this.instance, this.found, best, styleTag),
      proven: ended === 'proven',
      coverProven: this.coverProven,
      objectiveMinor: best.objective,
      boundMinor,
      gap: gapOf(best.objective, boundMinor),
      ended,
      themes: this.jointBound === undefined ? this.themes.map((theme) => this.#themePlan(theme)) : [],
      ms: performance.now() - this.#started,
    }
  }

  /** A theme that nothing is known about takes its bonus off every entry at most. */
  #bound(): number | null {
    if (!this.coverProven) return null
    const most = (this.instance.options.theme?.bonusMinor ?? 0) * this.found.entries.length
    const plain = this.themes[0]?.bound ?? Number.NEGATIVE_INFINITY
    const bound = this.jointBound ?? Math.min(...this.themes.map((theme) => Math.max(theme.bound, plain - most)))
    return Number.isFinite(bound) ? Math.min(bound, this.best.objective) : null
  }

  #themePlan({ styleTag, best, proven }: ThemeSearch): ThemePlan {
    const { totals } = planOf(this.instance, this.found, best, styleTag)
    return {
      styleTag: styleTag ?? null,
      uncovered: best.leftOut,
      offersMinor: totals.offersMinor,
      printMinor: totals.printMinor,
      objectiveMinor: best.objective,
      proven,
    }
  }
}

/** A greedy plan, unless an earlier one, as far as it can still be had, is as good: then nothing is upset for nothing. */
function firstOf(problem: Problem, { offers }: Usable, { earlier = [] }: Options): Solution {
  const greedy = greedyThenDrop(problem)
  const kept = new Set(earlier)
  const open = offers.map(({ id, priceMinor }) => priceMinor === 0 || kept.has(id))
  const solution = dropOffers(serve(problem, open), problem)
  return earlier.length === 0 || !isAllowed(solution, problem) || isBetter(greedy, solution) ? greedy : solution
}

/** The tags that the theme may be; without a bonus none makes a difference. */
function tagsOf({ entries }: Usable, { options: { theme } }: Instance): string[] {
  if (!theme || theme.bonusMinor === 0) return []
  const there = new Set(entries.flatMap(({ choices }) => choices.flatMap(({ styleTags }) => styleTags)))
  const wanted = new Set(theme.styleTags ?? there)
  return [...there].filter((tag) => wanted.has(tag)).sort(compareText)
}

/**
 * A good plan without any search, in milliseconds: what to show first.
 *
 * @returns not proven, though it may well be a best one
 * @throws RangeError when the instance makes no sense
 */
export function greedyPlan(instance: Instance): PlanResult {
  return new Search(instance).result('time limit')
}
