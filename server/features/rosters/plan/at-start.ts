import type { Db } from '../../../../db/connect.ts'
import { viewersNamed } from '../../../http/session.ts'
import { firstPlan } from './first-plan.ts'
import { outcomeOf } from './outcome.ts'
import { Planner } from './planner.ts'
import { askedPlan } from './schema.ts'

/**
 * Plans every roster that has no plan yet, to its end, as its owner would by one press.
 *
 * @throws Problem 422 for an empty roster
 */
export async function planAll(db: Db): Promise<void> {
  const unplanned = await db
    .selectFrom('roster')
    .leftJoin('rosterPlan', 'rosterPlan.rosterId', 'roster.id')
    .select(['roster.id', 'roster.ownerId', 'roster.listVersion'])
    .where('rosterPlan.id', 'is', null)
    .orderBy('roster.id')
    .execute()
  if (unplanned.length === 0) return
  const viewers = await viewersNamed(db, [...new Set(unplanned.map(({ ownerId }) => ownerId))])
  const planner = new Planner(console)
  // One after the other: each is solved with the whole processor, and nobody waits for a page yet.
  for (const roster of unplanned) {
    const owner = viewers.find(({ id }) => id === roster.ownerId)
    if (owner) await planner.planThrough(db, owner, roster, askedPlan.parse({}))
  }
}

/**
 * Works a first plan of the newest roster out and keeps nothing of it: the statements, what they read and what is computed
 * take several times as long the first time in a process, and so nobody waits for that.
 */
export async function rehearse(db: Db): Promise<void> {
  const newest = await db
    .selectFrom('roster')
    .select(['id', 'ownerId'])
    .where((eb) => eb.exists(eb.selectFrom('rosterEntry').select('id').whereRef('rosterId', '=', 'roster.id')))
    .orderBy('id', 'desc')
    .limit(1)
    .executeTakeFirst()
  const [owner] = newest ? await viewersNamed(db, [newest.ownerId]) : []
  if (!newest || !owner) return
  const { greedy, naive, drawn, facts } = await firstPlan(db, owner, newest.id, askedPlan.parse({}), [])
  outcomeOf(greedy, naive, drawn, facts)
}
