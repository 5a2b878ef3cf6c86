import { v7 } from 'uuid'
import type { Db } from '../../../db/connect.ts'

/**
 * Leaves a mark that the group wants a new fit, which is all that a change does for the scoring.
 *
 * @param trx in which plates, upkeep, revisions, snags or merges change what the scoring is told
 * @param plateId the plate that was told, changed or removed; null for anything else
 */
export async function markForFit(trx: Db, plateId: string | null): Promise<void> {
  await trx.insertInto('fitMark').values({ id: v7(), plateId }).execute()
}
