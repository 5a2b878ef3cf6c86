import type { Db } from '../../../../db/connect.ts'
import type { Viewer } from '../../../http/session.ts'
import { factsFor } from '../../requests/answers/facts.ts'
import { standInTallies } from '../../requests/votes/queries.ts'
import { type EntryRow, entriesOf } from '../entries.ts'
import { unhurried } from './unhurried.ts'

export type RosterFacts = Awaited<ReturnType<typeof rosterFacts>>

/** All that a plan for the member is made from: the facts that answers are ranked by, for every entry's files at once. */
export async function rosterFacts(hurried: Db, viewer: Viewer, rosterId: string) {
  const db = unhurried(hurried)
  const entries = await entriesOf(db, rosterId)
  const unitIds = [...new Set(entries.flatMap(({ unitId }) => unitId ?? []))]
  const crowding = viewer.defaultCrowding
  // The ranking goes by a plate about full; a plan is printed as the member fills theirs.
  const facts = await factsFor(db, viewer, { unitIds }, { own: true, crowding })
  const standIns = Map.groupBy(
    [...facts.files.values()].flatMap((file) => file.standsInFor.map((unitId) => ({ unitId, file }))),
    ({ unitId }) => unitId,
  )
  return {
    ...{ group: viewer.group, viewer, entries, standIns, crowding },
    tally: await standInTallies(db, unitIds, viewer.id),
    ...facts,
  }
}

/** The files that stand in for an entry. */
export const filesFor = ({ standIns }: Pick<RosterFacts, 'standIns'>, { unitId }: Pick<EntryRow, 'unitId'>) =>
  (standIns.get(unitId ?? '') ?? []).map(({ file }) => file)
