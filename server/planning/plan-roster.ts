import type { ModelData } from 'highs'
import type { Instance } from './instance.ts'
import { reduced } from './lagrange.ts'
import { coverModel, modelOf, type ThemeRule } from './model.ts'
import { gapOf, type PlanResult, type Progress } from './plan-result.ts'
import { matches, mayLeaveOut, type Problem, problemOf, type Solution } from './problem.ts'
import { Search, type ThemeSearch } from './search.ts'
import { type Solved, type Solver, solve } from './solver.ts'

export type PlanTools = {
  solver: Solver
  /** `performance.now()` by which all of it has to be done */
  until: number
  isStopped?: () => boolean
  onProgress?: (progress: Progress) => void
  /** a better plan than any before */
  onBetter?: (result: PlanResult) => void
  /** false: the solver alone, without making its models smaller first */
  reduces?: boolean
}

/** Costs are whole minor units, so a solution less than one above the bound is a best one. */
const wholeTolerance = 0.99
/** Parts of split entries cost fractions. */
const splitTolerance = 1e-6

/**
 * Plans a roster to a proven optimum, or as near to it as the time allows: the fewest entries left out, and of such
 * plans the one of least offers + printing + looks. Blocks its thread.
 *
 * @throws RangeError when the instance makes no sense, Error when the solver fails
 */
export function planRoster(instance: Instance, tools: PlanTools): PlanResult {
  const search = new Search(instance)
  tools.onBetter?.(search.result('stopped'))
  search.coverProven = cover(search, tools)
  const proven = search.coverProven && cost(search, tools)
  return search.result(proven ? 'proven' : tools.isStopped?.() ? 'stopped' : 'time limit')
}

/** First solve: as few entries left out as can be. @returns whether there is proof that no plan does better */
function cover(search: Search, tools: PlanTools): boolean {
  const [plain] = search.themes
  if (!plain || !mayLeaveOut(plain.problem) || search.best.leftOut === 0) return true
  const { data, openOffers } = coverModel(plain.problem)
  const keep = (values: ArrayLike<number>) => {
    const better = search.themes.map((theme) => search.consider(theme, openOffers(values)))
    if (better.includes(true)) tools.onBetter?.(search.result('stopped'))
  }
  const { bound } = solveFor('cover', data, wholeTolerance, search, tools, keep)
  return raised(bound, wholeTolerance) >= search.best.leftOut
}

/** Second solve: the least cost that leaves no more out. @returns whether there is proof */
function cost(search: Search, tools: PlanTools): boolean {
  const hasSplits = search.themes[0]?.problem.splits.some((split) => split) ?? false
  const { leftOut } = search.best
  const tolerance = hasSplits ? splitTolerance : wholeTolerance
  if (hasSplits && search.themes.length > 1) return costJointly(search, leftOut, tolerance, tools)
  for (const theme of search.themes) costOfTheme(search, theme, leftOut, tolerance, tools)
  return search.themes.every(({ proven }) => proven)
}

function costOfTheme(search: Search, theme: ThemeSearch, leftOut: number, tolerance: number, tools: PlanTools): void {
  const problem = smaller(search, theme, leftOut, tools)
  if (theme.proven || performance.now() >= tools.until) return
  const { data, openOffers } = modelOf(problem, leftOut)
  const keep = (values: ArrayLike<number>) => {
    if (search.consider(theme, openOffers(values))) tools.onBetter?.(search.result('stopped'))
  }
  const solved = solveFor('cost', data, tolerance, search, tools, keep)
  theme.proven = isProven(solved, theme.best, leftOut, tolerance)
  theme.bound = theme.proven ? theme.best.objective : Math.max(theme.bound, raised(solved.bound, tolerance))
}

/** The problem without what no best plan can use, which may leave nothing to be solved. */
function smaller(search: Search, theme: ThemeSearch, leftOut: number, tools: PlanTools): Problem {
  const { problem, best: known } = theme
  const isWhole = leftOut === 0 && known.leftOut === 0 && !problem.splits.some((split) => split)
  const isOver = performance.now() >= tools.until || tools.isStopped?.()
  if (tools.reduces === false || !isWhole || isOver) return problem
  const { bound, best, ways } = reduced(problem, known, tools.until)
  if (search.consider(theme, best.open)) tools.onBetter?.(search.result('stopped'))
  theme.bound = raised(bound, wholeTolerance)
  theme.proven = theme.bound >= theme.best.objective
  const gap = gapOf(theme.best.objective, theme.bound)
  tools.onProgress?.({ phase: 'cost', incumbent: theme.best.objective, bound: theme.bound, gap })
  return { ...problem, ways }
}

/** With split entries the theme is chosen within the model, since a split may be worth it under one theme alone. */
function costJointly(search: Search, leftOut: number, tolerance: number, tools: PlanTools): boolean {
  const [, ...themes] = search.themes
  const problem = problemOf(search.found, search.instance.options, { everyChoice: true })
  const rules = themes.map(({ styleTag }) => themeRule(search, styleTag))
  const { data, openOffers, theme } = modelOf(problem, leftOut, rules)
  const keep = (values: ArrayLike<number>) => {
    const place = theme(values)
    const chosen = search.themes[place === undefined ? 0 : place + 1]
    if (chosen && search.consider(chosen, openOffers(values))) tools.onBetter?.(search.result('stopped'))
  }
  const solved = solveFor('cost', data, tolerance, search, tools, keep)
  const proven = isProven(solved, search.best, leftOut, tolerance)
  search.jointBound = proven ? search.best.objective : raised(solved.bound, tolerance)
  return proven
}

function themeRule({ found, instance }: Search, styleTag: string | undefined): ThemeRule {
  return {
    bonus: instance.options.theme?.bonusMinor ?? 0,
    matching: found.entries.map(({ choices }) => {
      return new Set([...choices.keys()].filter((place) => matches(choices[place] ?? { styleTags: [] }, styleTag)))
    }),
  }
}

/** Solves one of the models, with what the member is told meanwhile. */
function solveFor(
  phase: Progress['phase'],
  data: ModelData,
  tolerance: number,
  search: Search,
  { solver, until, isStopped, onProgress }: PlanTools,
  keep: (values: ArrayLike<number>) => void,
): Solved {
  const best = () => (phase === 'cover' ? search.best.leftOut : search.best.objective)
  const solved = solve(solver, data, {
    until,
    tolerance,
    ...(isStopped ? { isStopped } : {}),
    onSolution: keep,
    onProgress: (found) => {
      const incumbent = Math.min(best(), tolerance === wholeTolerance ? Math.round(found.incumbent) : found.incumbent)
      const bound = Number.isFinite(found.bound) ? raised(found.bound, tolerance) : null
      onProgress?.({ phase, incumbent, bound, gap: gapOf(incumbent, bound) })
    },
  })
  if (solved.status === 'infeasible') throw new Error(`the ${phase} model has no solution`)
  if (solved.values) keep(solved.values)
  return solved
}

/** The solver's word counts for its own solution; what is planned must not cost more than that. */
function isProven({ status, objective, bound }: Solved, best: Solution, leftOut: number, tolerance: number): boolean {
  if (best.leftOut > leftOut) return false
  return status === 'optimal' ? best.objective < objective + 0.5 : raised(bound, tolerance) >= best.objective
}

/** Where all sums are whole, the bound is too; and 0 is never a negative one. */
function raised(bound: number, tolerance: number): number {
  return tolerance === wholeTolerance ? Math.ceil(bound - 1e-6) + 0 : bound
}
