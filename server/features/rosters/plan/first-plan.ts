import type { Db } from '../../../../db/connect.ts'
import { Problem } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { firstAnswer } from '../../../planning/start-plan.ts'
import { expectNoContradiction } from './contradictions.ts'
import { draw } from './draw.ts'
import { filesFor, rosterFacts } from './facts.ts'
import { expectPlannable } from './limits.ts'
import { naiveOf } from './outcome.ts'
import type { AskedPlan } from './schema.ts'

/**
 * Works out what a plan is answered with, and stores nothing.
 *
 * @param earlier offers that the plan before went by
 * @throws Problem 422 for an empty roster, one that leaves too much to choose from, and for what contradicts itself
 */
export async function firstPlan(
  db: Db,
  viewer: Viewer,
  rosterId: string,
  asked: AskedPlan,
  earlier: readonly string[],
) {
  const facts = await rosterFacts(db, viewer, rosterId)
  if (facts.entries.length === 0) throw new Problem(422, 'The roster is empty: paste a list or add an entry first.')
  expectPlannable(facts.open.reduce((sum, entry) => sum + filesFor(facts, entry).length, 0))
  expectNoContradiction(facts, asked, viewer)
  const drawn = await draw(facts, asked, earlier)
  const { greedy, naive } = await firstAnswer(drawn.instance)
  return { drawn, facts, greedy, naive: naiveOf(naive), timeLimitS: asked.timeLimitS }
}

/** The greedy plan of a roster, and what a better one is solved from. */
export type FirstPlan = Awaited<ReturnType<typeof firstPlan>>
