import { type Choice, costMinor, type Usable } from './filters.ts'
import type { Offer, Options } from './instance.ts'

/**
 * Uncapacitated facility location: open facilities (offers) and serve every customer (entry) from an open one, at the
 * least sum of prices and costs. Money in any unit; rosters are in whole minor units.
 */
export type Problem = {
  /** of each offer, >= 0; one at price 0 is open anyway */
  prices: readonly number[]
  /** how each entry can be served, at most once from each offer */
  ways: readonly (readonly Way[])[]
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

export type Limit = { offers: readonly number[]; most: number }

/** Whether some entry may have to go without: only then does the model let it. */
export function mayLeaveOut({ budget, limits }: Problem): boolean {
  return budget !== undefined || limits.length > 0
}

/**
 * @param styleTag the theme that gets the bonus, or none
 * @returns each entry's cheapest file in each offer
 */
export function problemOf({ entries, offers }: Usable, options: Options, styleTag?: string): Problem {
  const bonus = options.theme?.bonusMinor ?? 0
  return {
    prices: offers.map(({ priceMinor }) => priceMinor),
    ways: entries.map(({ choices }) => cheapestWays(choices, (choice) => themedCost(choice, bonus, styleTag))),
    ...(options.budgetMinor === undefined ? {} : { budget: options.budgetMinor }),
    limits: limitsOf(offers, options),
  }
}

/** Cost of a choice with the theme's bonus taken off, which can make it negative. */
export function themedCost(choice: Choice, bonusMinor: number, styleTag: string | undefined): number {
  const matches = styleTag !== undefined && choice.styleTags.includes(styleTag)
  return costMinor(choice) - (matches ? bonusMinor : 0)
}

function cheapestWays(choices: readonly Choice[], cost: (choice: Choice) => number): Way[] {
  const best = new Map<number, Way>()
  choices.forEach((choice, index) => {
    const costHere = cost(choice)
    for (const offer of choice.offers) {
      const other = best.get(offer)
      if (!other || costHere < other.cost) best.set(offer, { offer, cost: costHere, choice: index })
    }
  })
  return [...best.values()].sort((one, other) => one.offer - other.offer)
}

function limitsOf(offers: readonly Offer[], { differFrom = [] }: Options): Limit[] {
  const places = new Map(offers.map(({ id }, place) => [id, place]))
  return differFrom.map(({ offerIds, dropAtLeast }) => {
    const ids = [...new Set(offerIds)]
    const there = ids.map((id) => places.get(id)).filter((place) => place !== undefined)
    return { offers: there, most: Math.max(0, ids.length - dropAtLeast) }
  })
}
