import type { ModelData } from 'highs'
import { mayLeaveOut, type Problem, type SplitRule, type Way } from './problem.ts'
import { prunedWays } from './prune.ts'
import { ones, Rows } from './rows.ts'

/** A theme to choose in the model itself: which choices of each entry match it. */
export type ThemeRule = { bonus: number; matching: readonly ReadonlySet<number>[] }

type PlanningModel = {
  data: ModelData
  /** @returns for each offer, whether it is open */
  openOffers: (values: ArrayLike<number>) => boolean[]
  /** @returns place of the theme that was chosen, or undefined */
  theme: (values: ArrayLike<number>) => number | undefined
}

/**
 * The model of the second solve, facility location with strong links: y (integer) opens a paid offer, x serves an entry
 * by a way, the x of an entry add up to 1, and those through one offer to at most its y. Given y, each entry takes its
 * cheapest open way, so x need not be integer. Entries that may be split, and themes, add rows to it.
 *
 * @param leftOut how many entries are to go without, where the problem lets them
 * @param themes at most one of them is chosen; the problem has to hold every choice then
 * @see Cornuejols, Nemhauser & Wolsey (1990), The uncapacitated facility location problem
 */
export function modelOf(problem: Problem, leftOut: number, themes: readonly ThemeRule[] = []): PlanningModel {
  const rows = new Rows()
  const ways = themes.length > 0 ? problem.ways : prunedWays(problem)
  const y = offerColumns(rows, ways, problem)
  const u: number[] = []
  const x = ways.map((entryWays, entry) => {
    const columns = entryWays.map(({ cost }) => rows.column(cost))
    const without = mayLeaveOut(problem) ? [rows.column(0)] : []
    u.push(...without)
    rows.row(1, 1, ones([...columns, ...without]))
    linkRows(rows, y, entryWays, columns)
    const split = problem.splits[entry]
    if (split) splitRows(rows, split, entryWays, columns)
    return columns
  })
  if (u.length > 0) rows.row(0, leftOut, ones(u))
  sideRows(rows, y, problem)
  const t = themeRows(rows, themes, ways, x)
  return {
    data: rows.data(),
    openOffers: (values) => openIn(values, y, problem),
    theme: (values) => indexWhere(t, (column) => (values[column] ?? 0) > 0.5),
  }
}

/** One integer column for each paid offer that some way needs. */
function offerColumns(rows: Rows, ways: readonly (readonly Way[])[], { prices }: Problem): Map<number, number> {
  const needed = new Set(ways.flatMap((entryWays) => entryWays.map(({ offer }) => offer)))
  const y = new Map<number, number>()
  prices.forEach((price, offer) => {
    if (price > 0 && needed.has(offer)) y.set(offer, rows.column(price, { integer: true }))
  })
  return y
}

/** What an entry gets through an offer, only if that is open. */
function linkRows(rows: Rows, y: ReadonlyMap<number, number>, ways: readonly Way[], columns: readonly number[]): void {
  const through = Map.groupBy(columns.keys(), (place) => ways[place]?.offer ?? -1)
  for (const [offer, places] of through) {
    const open = y.get(offer)
    if (open === undefined) continue
    rows.row(Number.NEGATIVE_INFINITY, 0, [...ones(places.map((place) => columns[place] ?? 0)), [open, -1]])
  }
}

/** Of at most two files, each makes up the smaller part or more; two of them earn the bonus. */
function splitRows(rows: Rows, { part, bonus }: SplitRule, ways: readonly Way[], columns: readonly number[]): void {
  const ofChoice = Map.groupBy(columns.keys(), (place) => ways[place]?.choice ?? -1)
  const used = Array.from(ofChoice.values(), (places) => {
    const isUsed = rows.column(0, { integer: true })
    const printed = ones(places.map((place) => columns[place] ?? 0))
    rows.row(Number.NEGATIVE_INFINITY, 0, [...printed, [isUsed, -1]])
    rows.row(0, Number.POSITIVE_INFINITY, [...printed, [isUsed, -part]])
    return isUsed
  })
  const both = rows.column(-bonus, { integer: true })
  rows.row(0, 2, ones(used))
  rows.row(0, Number.POSITIVE_INFINITY, [...ones(used), [both, -2]])
}

/** The budget, and the plans that are not to come out again. */
function sideRows(rows: Rows, y: ReadonlyMap<number, number>, { prices, budget, limits }: Problem): void {
  if (budget !== undefined) {
    const spent = Array.from(y, ([offer, column]) => [column, prices[offer] ?? 0] as const)
    rows.row(Number.NEGATIVE_INFINITY, budget, spent)
  }
  for (const { offers, most } of limits) {
    const columns = [...new Set(offers)].map((offer) => y.get(offer)).filter((column) => column !== undefined)
    if (columns.length > most) rows.row(Number.NEGATIVE_INFINITY, most, ones(columns))
  }
}

/** Which offers are open by these values of their columns. */
function openIn(values: ArrayLike<number>, y: ReadonlyMap<number, number>, { prices }: Pick<Problem, 'prices'>) {
  return prices.map((price, offer) => price === 0 || (values[y.get(offer) ?? -1] ?? 0) > 0.5)
}

/** What an entry gets from files that match a theme earns its bonus, if that is the theme. */
function themeRows(
  rows: Rows,
  themes: readonly ThemeRule[],
  ways: readonly (readonly Way[])[],
  x: readonly (readonly number[])[],
): number[] {
  const t = themes.map(() => rows.column(0, { integer: true }))
  if (t.length > 0) rows.row(0, 1, ones(t))
  themes.forEach(({ bonus, matching }, theme) => {
    ways.forEach((entryWays, entry) => {
      const columns = x[entry]?.filter((_, place) => matching[entry]?.has(entryWays[place]?.choice ?? -1)) ?? []
      if (columns.length === 0) return
      const match = rows.column(-bonus)
      rows.row(Number.NEGATIVE_INFINITY, 0, [
        [match, 1],
        [t[theme] ?? 0, -1],
      ])
      rows.row(0, Number.POSITIVE_INFINITY, [...ones(columns), [match, -1]])
    })
  })
  return t
}

function indexWhere<Item>(items: readonly Item[], test: (item: Item) => boolean): number | undefined {
  const index = items.findIndex(test)
  return index < 0 ? undefined : index
}

/**
 * The model of the first solve, whatever things cost: y (integer) opens a paid offer, u is 1 for an entry that none of
 * its offers is open for, and as few of them as can be are.
 *
 * @see Church & ReVelle (1974), The maximal covering location problem
 */
export function coverModel(problem: Problem): Pick<PlanningModel, 'data' | 'openOffers'> {
  const rows = new Rows()
  const y = new Map<number, number>()
  for (const ways of problem.ways) {
    const offers = new Set(ways.map(({ offer }) => offer))
    if ([...offers].some((offer) => problem.prices[offer] === 0)) continue
    for (const offer of offers) if (!y.has(offer)) y.set(offer, rows.column(0, { integer: true }))
    const leftOut = rows.column(1)
    const opened = Array.from(offers, (offer) => y.get(offer) ?? 0)
    rows.row(1, Number.POSITIVE_INFINITY, ones([...opened, leftOut]))
  }
  sideRows(rows, y, problem)
  return { data: rows.data(), openOffers: (values) => openIn(values, y, problem) }
}
