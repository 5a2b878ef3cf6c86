import { beforeAll, expect, test } from 'vitest'
import { naivePlans } from '../../server/planning/naive.ts'
import type { Plan } from '../../server/planning/plan.ts'
import { planRoster } from '../../server/planning/plan-roster.ts'
import { openSolver, type Solver } from '../../server/planning/solver.ts'
import { reprice } from './reprice.ts'
import { inGoodTime, roster } from './rosters.ts'
import { rosterOf, wardensAndHounds } from './small.ts'
import { smallRoster } from './small-rosters.ts'

let solver: Solver
beforeAll(async () => {
  solver = await openSolver()
})

const bought = (plan: Plan) => plan.offers.map(({ offerId }) => offerId)
const printed = (plan: Plan) => plan.entries.map(({ fileId }) => fileId)

test('what one would do without a solver', () => {
  const plans = naivePlans(wardensAndHounds)
  // 900 < 1000 for the wardens, 800 < 1000 for the hounds; each alone.
  expect(bought(plans.sticker)).toEqual(['Fen Wardens alone', 'Ash Hounds alone'])
  // 900 + 500 < 1000 + 450, and 800 + 200 < 1000 + 300.
  expect(printed(plans.cheapest)).toEqual(['Fen Wardens', 'Ash Hounds'])
  expect(plans.cheapest.totals).toMatchObject({ offersMinor: 1700, printMinor: 700 })
  // The bundle serves both: (1000 + 850 + 450) / 2 = 1150 each; the hounds alone come to 1100.
  expect(bought(plans.greedyStars)).toEqual(['Ash Hounds alone', 'Fen Wardens alone'].toReversed())
})

test('sticker looks at the price alone, cheapest at printing too, preferOwned at what there is', () => {
  const instance = rosterOf({
    entries: [{ id: 'a' }],
    candidates: [
      ['a', 'cheap to buy', 900],
      ['a', 'cheap in all', 100],
      ['a', 'had already', 2000],
      ['a', 'had, too', 1900],
    ],
    offers: [
      { id: '1', priceMinor: 300, fileIds: ['cheap to buy'] },
      { id: '2', priceMinor: 600, fileIds: ['cheap in all'] },
      { id: '3', priceMinor: 0, kind: 'owned', fileIds: ['had already', 'had, too'] },
    ],
  })
  const plans = naivePlans(instance)
  expect(printed(plans.sticker)).toEqual(['had, too'])
  expect(printed(plans.cheapest)).toEqual(['cheap in all'])
  expect(printed(plans.preferOwned)).toEqual(['had, too'])
  const { sticker } = naivePlans({ ...instance, offers: instance.offers.slice(0, 2) })
  expect(printed(sticker)).toEqual(['cheap to buy'])
})

test('each is a plan by the rules, and none is better than the best', () => {
  for (const kind of ['mixed', 'hard'] as const) {
    for (let seed = 30_001; seed < 30_021; seed++) {
      const { theme, ...options } = smallRoster(kind, seed).options
      const { differFrom, ...plain } = options
      const instance = { ...smallRoster(kind, seed), options: plain }
      const best = planRoster(instance, { solver, until: inGoodTime() })
      for (const plan of Object.values(naivePlans(instance))) {
        const { objective } = reprice(instance, plan)
        const [theirs, ours] = [plan.uncovered.length, best.plan.uncovered.length]
        expect(theirs).toBeGreaterThanOrEqual(ours)
        if (theirs === ours) expect(objective).toBeGreaterThanOrEqual(best.objectiveMinor - 1e-6)
      }
    }
  }
})

test('on a roster of twenty entries the best plan is far cheaper than the cheapest file for each', () => {
  const instance = roster({ entries: 20, candidates: 20, offers: 250, looksWorthMinor: 0, seed: 3 })
  const best = planRoster(instance, { solver, until: inGoodTime() })
  const naive = naivePlans(instance)
  expect(best.proven).toBe(true)
  expect(best.objectiveMinor).toBeLessThan(0.9 * reprice(instance, naive.cheapest).objective)
  expect(best.objectiveMinor).toBeLessThanOrEqual(reprice(instance, naive.greedyThenDrop).objective)
  expect(reprice(instance, naive.greedyThenDrop).objective).toBeLessThanOrEqual(
    reprice(instance, naive.greedyStars).objective,
  )
})
