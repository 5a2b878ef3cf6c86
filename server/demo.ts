import type { Db } from '../db/connect.ts'
import { makeDemo } from '../db/demo/index.ts'
import { refit } from './features/evidence/queries.ts'
import { planAll } from './features/rosters/plan/at-start.ts'

/** Fills an empty, migrated database with the invented group, learns from its reports, and plans its rosters. */
export async function fillDemo(db: Db, options: Parameters<typeof makeDemo>[1]): Promise<void> {
  await makeDemo(db, options)
  await refit(db)
  await planAll(db)
}
