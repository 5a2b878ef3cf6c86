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
