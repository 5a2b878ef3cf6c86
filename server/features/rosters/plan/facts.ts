import type { Db } from '../../../../db/connect.ts'
import type { Viewer } from '../../../http/session.ts'
import { type FileFacts, factsFor } from '../../requests/answers/facts.ts'
import { standInTallies } from '../../requests/votes/queries.ts'
import { type EntryRow, entriesOf } from '../entries.ts'
import { retailOf } from '../rules.ts'
import type { PurchaseRow } from '../spend/paid.ts'
import { tiedReports } from '../spend/prints.ts'
import { boughtIn, paidFor, spendFrom } from '../spend/queries.ts'

export type RosterFacts = Awaited<ReturnType<typeof rosterFacts>>

/** An entry with as many of its models as are still to be printed. */
export type OpenEntry = EntryRow & { missing: number }

/**
 * All that a plan for the member is made from: the facts that answers are ranked by, for every entry's files at once, and
 * what was bought and printed for the roster already.
 */
export async function rosterFacts(db: Db, viewer: Viewer, rosterId: string) {
  const { group, defaultCrowding: crowding } = viewer
  const entries = await entriesOf(db, rosterId)
  const unitIds = [...new Set(entries.flatMap(({ unitId }) => unitId ?? []))]
  // The ranking goes by a plate about full; a plan is printed as the member fills theirs.
  const facts = await factsFor(db, viewer, { unitIds }, { own: true, crowding })
  const { purchases, lines } = await paidFor(db, viewer, rosterId, { fileIds: [...facts.files.keys()], offerIds: [] })
  const files = withBought(facts.files, purchases)
  const reports = await tiedReports(db, viewer, rosterId)
  const known = { entries, box: retailOf(entries, group), plan: null, offers: new Map() }
  const spend = spendFrom({ ...known, reports, purchases, lines }, viewer)
  const missing = new Map(spend.entries.map((entry) => [entry.entryId, entry.missing]))
  const standIns = Map.groupBy(
    [...files.values()].flatMap((file) => file.standsInFor.map((unitId) => ({ unitId, file }))),
    ({ unitId }) => unitId,
  )
  return {
    group,
    viewer,
    entries,
    standIns,
    crowding,
    spend,
    open: entries
      .map((entry): OpenEntry => ({ ...entry, missing: missing.get(entry.id) ?? entry.models }))
      .filter((entry) => entry.missing > 0),
    bought: new Set(boughtIn(purchases)),
    tally: await standInTallies(db, unitIds, viewer.id),
    ...facts,
    files,
  }
}

interface Purchases {
  here: readonly PurchaseRow[]
  elsewhere: readonly PurchaseRow[]
}

/**
 * What was paid for is the member's, also where their archive no longer says so. A membership's files were got with the
 * roster that it was paid for; for another one it has to run.
 */
function withBought(files: ReadonlyMap<string, FileFacts>, { here, elsewhere }: Purchases): Map<string, FileFacts> {
  const [paidHere, paidElsewhere] = [here, elsewhere].map((rows) => new Set(rows.map(({ offerId }) => offerId)))
  const isPaid = ({ id, kind }: FileFacts['offers'][number]) =>
    paidHere?.has(id) || (kind !== 'membership' && paidElsewhere?.has(id))
  return new Map(
    [...files].map(([id, file]) => [id, { ...file, inArchive: file.inArchive || file.offers.some(isPaid) }]),
  )
}

/** The files that stand in for an entry. */
export const filesFor = ({ standIns }: Pick<RosterFacts, 'standIns'>, { unitId }: Pick<EntryRow, 'unitId'>) =>
  (standIns.get(unitId ?? '') ?? []).map(({ file }) => file)
