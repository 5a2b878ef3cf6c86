import { type Choice, costMinor, type Usable } from './filters.ts'
import type { Entry, Offer, Options } from './instance.ts'

/**
 * Uncapacitated facility location: open facilities (offers) and serve every customer (entry) from open ones, at the
 * least sum of prices and costs. Money in any unit; rosters are in whole minor units.
 */
export type Problem = {
  /** of each offer, >= 0; one at price 0 is open anyway */
  prices: readonly number[]
  /** how each entry can be served; only the cheapest file in each offer, unless the entry may be split */
  ways: readonly (readonly Way[])[]
  /** of each entry, where it may be served by two files */
  splits: readonly (SplitRule | undefined)[]
  /** most that the prices of the open offers may add up to */
  budget?: number
  /** of these offers, at most so many may be open at once */
  limits: readonly Limit[]
}

export type Way = {
  offer: number
  cost: number
  /** place of the file among the entry's choices */
  choice: number
}

/** The smaller part of a split entry, and what a split is worth. */
export type SplitRule = { part: number; bonus: number }

export type Limit = { offers: readonly number[]; most: number }

/** Whether some entry may have to go without: only then does the model let it. */
export function mayLeaveOut({ budget, limits }: Problem): boolean {
  return budget !== undefined || limits.length > 0
}

export type ProblemOptions = {
  /** the theme that gets the bonus */
  styleTag?: string | undefined
  /** keep every file of every offer, not the cheapest one alone */
  everyChoice?: boolean
}

/** The usable part of a roster in numbers; entries, offers and choices go by their places there. */
export function problemOf(
  { entries, offers }: Usable,
  options: Options,
  { styleTag, everyChoice = false }: ProblemOptions = {},
): Problem {
  const bonus = options.theme?.bonusMinor ?? 0
  const splits = entries.map(({ entry }) => splitRule(entry))
  return {
    prices: offers.map(({ priceMinor }) => priceMinor),
    ways: entries.map(({ choices }, place) => {
      const all = allWays(choices, (choice) => costMinor(choice) - (matches(choice, styleTag) ? bonus : 0))
      return everyChoice || splits[place] ? all : cheapestOfOffer(all)
    }),
    splits,
    ...(options.budgetMinor === undefined ? {} : { budget: options.budgetMinor }),
    limits: limitsOf(offers, options),
  }
}

/** Whether a file is of the theme. */
export function matches({ styleTags }: Pick<Choice, 'styleTags'>, styleTag: string | undefined): boolean {
  return styleTag !== undefined && styleTags.includes(styleTag)
}

/**
 * Only whole models can be printed, so the smaller part is rounded up to some; then both parts of the best split are
 * whole, since costs go in proportion and so the dearer file gets no more than it must.
 *
 * @returns undefined where the entry is too small to be split
 */
function splitRule({ models, split }: Entry): SplitRule | undefined {
  if (!split) return undefined
  const smaller = Math.max(1, Math.ceil(split.minPart * models - 1e-9))
  return 2 * smaller <= models ? { part: smaller / models, bonus: split.bonusMinor } : undefined
}

function allWays(choices: readonly Choice[], costOf: (choice: Choice) => number): Way[] {
  return choices.flatMap((choice, place) => {
    const cost = costOf(choice)
    return choice.offers.map((offer) => ({ offer, cost, choice: place }))
  })
}

function cheapestOfOffer(ways: readonly Way[]): Way[] {
  const best = new Map<number, Way>()
  for (const way of ways) {
    const other = best.get(way.offer)
    if (!other || way.cost < other.cost) best.set(way.offer, way)
  }
  return [...best.values()]
}

/** Offers at price 0 are open anyway and don't count; those that are out already count as dropped. */
function limitsOf(offers: readonly Offer[], { differFrom = [] }: Options): Limit[] {
  const places = new Map(offers.map(({ id }, place) => [id, place]))
  const isFree = (place: number | undefined) => place !== undefined && offers[place]?.priceMinor === 0
  return differFrom.map(({ offerIds, dropAtLeast }) => {
    const paid = [...new Set(offerIds)].map((id) => places.get(id)).filter((place) => !isFree(place))
    const there = paid.filter((place) => place !== undefined)
    return { offers: there, most: Math.max(0, paid.length - dropAtLeast) }
  })
}

/** Which offers are open, and how each entry is served from them. */
export type Solution = {
  open: boolean[]
  served: Served[]
  /** entries that go without */
  leftOut: number
  /** prices of the open offers and costs of the entries that are served */
  objective: number
}

/** Nothing, one way, or two with the parts of the entry that each makes up. */
export type Served = { parts: Part[]; cost: number }

export type Part = { way: Way; part: number }

/** Serves every entry by its cheapest open way, or its two cheapest files where splitting it pays. */
export function serve(problem: Problem, open: readonly boolean[]): Solution {
  return solutionOf(
    problem,
    open,
    problem.ways.map((ways, entry) =>
      servedBy(
        ways.filter(({ offer }) => open[offer]),
        problem,
        entry,
      ),
    ),
  )
}

export function solutionOf({ prices }: Problem, open: readonly boolean[], served: Served[]): Solution {
  const costs = served.reduce((sum, { cost }) => sum + cost, 0)
  return {
    open: [...open],
    served,
    leftOut: served.filter(({ parts }) => parts.length === 0).length,
    objective: costs + prices.reduce((sum, price, offer) => sum + (open[offer] ? price : 0), 0),
  }
}

/** The best that an entry can get of these ways. */
export function servedBy(ways: readonly Way[], { prices, splits }: Problem, entry: number): Served {
  const first = cheapest(ways, prices)
  if (!first) return { parts: [], cost: 0 }
  const whole = { parts: [{ way: first, part: 1 }], cost: first.cost }
  const split = splits[entry]
  const second =
    split &&
    cheapest(
      ways.filter(({ choice }) => choice !== first.choice),
      prices,
    )
  if (!second) return whole
  const cost = first.cost + split.part * (second.cost - first.cost) - split.bonus
  if (cost >= whole.cost) return whole
  const parts = [
    { way: first, part: 1 - split.part },
    { way: second, part: split.part },
  ]
  return { parts, cost }
}

/** Among ways of the same cost, takes the one with the cheapest offer, so that no needless one is bought. */
function cheapest(ways: readonly Way[], prices: readonly number[]): Way | undefined {
  let best: Way | undefined
  for (const way of ways) if (!best || isCheaper(way, best, prices)) best = way
  return best
}

function isCheaper(one: Way, other: Way, prices: readonly number[]): boolean {
  return one.cost < other.cost || (one.cost === other.cost && (prices[one.offer] ?? 0) < (prices[other.offer] ?? 0))
}

/** @returns whether one is better: fewer entries left out, then less money */
export function isBetter(one: Solution, other: Solution): boolean {
  return one.leftOut < other.leftOut || (one.leftOut === other.leftOut && one.objective < other.objective)
}

/** The solver keeps to budgets and limits within its tolerance; this keeps to them exactly. */
export function isAllowed({ open }: Solution, { prices, budget, limits }: Problem): boolean {
  const spent = prices.reduce((sum, price, offer) => sum + (open[offer] ? price : 0), 0)
  if (budget !== undefined && spent > budget) return false
  return limits.every(({ offers, most }) => offers.filter((offer) => open[offer] && prices[offer]).length <= most)
}
