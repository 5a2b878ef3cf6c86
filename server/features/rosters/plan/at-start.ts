import type { Db } from '../../../../db/connect.ts'
import { viewersNamed } from '../../../http/session.ts'
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
