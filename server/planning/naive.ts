import { checkInstance } from './check-instance.ts'
import { type Usable, usable } from './filters.ts'
import { greedyStars, greedyThenDrop } from './greedy.ts'
import type { Instance } from './instance.ts'
import { type Plan, planOf } from './plan.ts'
import { type Problem, problemOf, type Served, type Solution, solutionOf, type Way } from './problem.ts'

export type NaivePlans = {
  /** each entry gets the file that is cheapest to buy */
  sticker: Plan
  /** each entry gets the file that is cheapest to buy and print, by itself */
  cheapest: Plan
  /** what there is already first, the rest as in `cheapest` */
  preferOwned: Plan
  greedyStars: Plan
  greedyThenDrop: Plan
}

/**
 * What one would do without a solver, to compare with. Entry by entry in the order of the roster, each as if there
 * were no other; what two of them share is paid for once all the same. A budget is spent until it does not reach.
 *
 * @throws RangeError when the instance makes no sense
 */
export function naivePlans(instance: Instance): NaivePlans {
  checkInstance(instance)
  const found = usable(instance)
  const problem = problemOf(found, instance.options)
  const everyWay = problemOf(found, instance.options, { everyChoice: true })
  const printOf = (way: Way, entry: number) => found.entries[entry]?.choices[way.choice]?.candidate.printMinor ?? 0
  const price = ({ offer }: Way) => problem.prices[offer] ?? 0
  const together = (way: Way, entry: number) => price(way) + printOf(way, entry)
  const entryByEntry = (score: Score) => planOf(instance, found, chooseAlone(instance, found, everyWay, score))
  return {
    sticker: entryByEntry((way, entry) => [price(way), printOf(way, entry)]),
    cheapest: entryByEntry((way, entry) => [together(way, entry), price(way)]),
    preferOwned: entryByEntry((way, entry) => [price(way) > 0 ? 1 : 0, together(way, entry)]),
    greedyStars: planOf(instance, found, greedyStars(problem)),
    greedyThenDrop: planOf(instance, found, greedyThenDrop(problem)),
  }
}

/** Smaller is better; the second number decides between equal first ones. */
type Score = (way: Way, entry: number) => readonly [number, number]

function chooseAlone({ entries, options }: Instance, found: Usable, problem: Problem, score: Score): Solution {
  const open = problem.prices.map(() => false)
  const served: Served[] = problem.ways.map(() => ({ parts: [], cost: 0 }))
  const places = new Map(found.entries.map(({ entry }, place) => [entry.id, place]))
  let left = options.budgetMinor ?? Number.POSITIVE_INFINITY
  for (const { id } of entries) {
    const place = places.get(id)
    if (place === undefined) continue
    const toPay = ({ offer }: Way) => (open[offer] ? 0 : (problem.prices[offer] ?? 0))
    const affordable = (problem.ways[place] ?? []).filter((way) => toPay(way) <= left)
    const way = leastBy(affordable, (one) => score(one, place))
    if (!way) continue
    left -= toPay(way)
    open[way.offer] = true
    served[place] = { parts: [{ way, part: 1 }], cost: way.cost }
  }
  return solutionOf(problem, open, served)
}

function leastBy(ways: readonly Way[], scoreOf: (way: Way) => readonly [number, number]): Way | undefined {
  let best: { way: Way; score: readonly [number, number] } | undefined
  for (const way of ways) {
    const score = scoreOf(way)
    const isLess = !best || score[0] < best.score[0] || (score[0] === best.score[0] && score[1] < best.score[1])
    if (isLess) best = { way, score }
  }
  return best?.way
}
