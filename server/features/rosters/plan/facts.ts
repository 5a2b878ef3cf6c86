import type { Db } from '../../../../db/connect.ts'
import type { Group } from '../../../http/group.ts'
import type { Viewer } from '../../../http/session.ts'
import { factsFor } from '../../requests/answers/facts.ts'
import { standInTallies } from '../../requests/votes/queries.ts'
import { type EntryRow, entriesOf } from '../entries.ts'
import { unhurried } from './unhurried.ts'

export type RosterFacts = Awaited<ReturnType<typeof rosterFacts>>

/** All that a plan for the member is made from: the facts that answers are ranked by, for every entry's files at once. */
export async function rosterFacts(hurried: Db, viewer: Viewer, rosterId: string, group: Group) {
  const db = unhurried(hurried)
  const entries = await entriesOf(db, rosterId)
  const unitIds = [...new Set(entries.flatMap(({ unitId }) => unitId ?? []))]
  const standIns = await standInsOf(db, unitIds)
  const fileIds = [...new Set([...standIns.values()].flat())]
  const crowding = viewer.defaultCrowding
  return {
    ...{ group, viewer, entries, standIns, crowding },
    tally: await standInTallies(db, unitIds, viewer.id),
    // The ranking goes by a plate about full; a plan is printed as the member fills theirs.
    ...(await factsFor(db, viewer, fileIds, { own: true, group, crowding })),
  }
}

/** The files that stand in for an entry. */
export const filesFor = ({ standIns }: Pick<RosterFacts, 'standIns'>, { unitId }: Pick<EntryRow, 'unitId'>) =>
  unitId === null ? [] : (standIns.get(unitId) ?? [])

async function standInsOf(db: Db, unitIds: string[]): Promise<Map<string, string[]>> {
  if (unitIds.length === 0) return new Map()
  const rows = await db.selectFrom('fileUnit').selectAll().where('unitId', 'in', unitIds).orderBy('fileId').execute()
  const byUnit = Map.groupBy(rows, ({ unitId }) => unitId)
  return new Map([...byUnit].map(([unitId, some]) => [unitId, some.map(({ fileId }) => fileId)]))
}
