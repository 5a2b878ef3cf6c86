import { sql } from 'kysely'
import { type Db, often } from '../../../db/connect.ts'
import { type FitRow, type FitState, fitState, stateOf } from './model.ts'

/** Number of the advisory lock that says: what the scoring has learnt is in somebody's hands. Any constant does. */
const learning = 7_283_501

/**
 * Takes part in the learning until the transaction ends: many may at once, but not while a full fit runs. Whatever
 * writes reports calls it before its first write, so that the fit and it never wait for each other in turn.
 */
export async function joinLearning(trx: Db): Promise<void> {
  if (joined.has(trx)) return
  await sql`select ${often} pg_advisory_xact_lock_shared(${sql.lit(learning)})`.execute(trx)
  joined.add(trx)
}

/** Transactions that take part. */
const joined = new WeakSet<Db>()
const states = new WeakMap<Db, Promise<FitState>>()

/** Which rows count. While a transaction takes part, no fit takes over: so it asks once. */
export function learningState(trx: Db): Promise<FitState> {
  if (!joined.has(trx)) return fitState(trx)
  const state = states.get(trx) ?? fitState(trx)
  states.set(trx, state)
  return state
}

/** The same, for whoever has asked along with something else (`fitAsColumn`) once it took part. */
export function knowLearningState(trx: Db, row: FitRow): void {
  if (joined.has(trx)) states.set(trx, Promise.resolve(stateOf(row)))
}

/** Waits for everybody who is learning and keeps them out until the transaction ends. */
export async function haltLearning(trx: Db): Promise<void> {
  await sql`select pg_advisory_xact_lock(${sql.lit(learning)})`.execute(trx)
}
