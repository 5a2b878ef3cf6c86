import { sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'
import { invalid, pointer } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'

/** An entry of a roster of the member's own. */
export interface CountedEntry {
  entryId: string
  roster: { id: string; name: string }
  /** what it is called */
  name: string
  models: number
}

const entryColumns = sql`entry.id as entry_id, entry.models, coalesce(unit.name, entry.words) as name,
  json_build_object('id', roster.id, 'name', roster.name) as roster`

const lacksSome = sql`entry.models > (
  select coalesce(sum(good + mended), 0) from roster_print join print on print.id = roster_print.print_id
  where roster_print.entry_id = entry.id
)`

/** The member's entries that these files stand in for and that lack models, the newest roster first. */
export async function entriesOfFiles(db: Db, { id: ownerId }: Viewer, fileIds: readonly string[]) {
  if (fileIds.length === 0) return []
  const { rows } = await sql<CountedEntry & { fileId: string }>`
    select file_unit.file_id, ${entryColumns} from roster
    join roster_entry entry on entry.roster_id = roster.id
    join unit on unit.id = entry.unit_id
    join file_unit on file_unit.unit_id = entry.unit_id
    where roster.owner_id = ${ownerId} and file_unit.file_id = any(${fileIds}::uuid[]) and ${lacksSome}
    order by roster.id desc, entry.place`.execute(db)
  return rows
}

/** What each print of a plate counts for, or else what it may be counted for. */
export async function countsOfPlate(db: Db, { id: ownerId }: Viewer, plateId: string) {
  const { rows } = await sql<CountedEntry & { printId: string; isCounted: boolean }>`
    select print.id as print_id, counted.print_id is not null as is_counted, ${entryColumns} from print
    join support_set on support_set.id = print.support_set_id
    join revision on revision.id = support_set.revision_id
    left join roster_print counted on counted.print_id = print.id
    cross join roster
    join roster_entry entry on entry.roster_id = roster.id
    left join unit on unit.id = entry.unit_id
    where print.plate_id = ${plateId} and roster.owner_id = ${ownerId} and case
      when counted.print_id is not null then counted.entry_id = entry.id
      else ${lacksSome} and exists (
        select from file_unit where file_unit.file_id = revision.file_id and file_unit.unit_id = entry.unit_id
      )
    end
    order by print.id, roster.id desc, entry.place`.execute(db)
  return rows
}

/**
 * Counts prints for entries of rosters of the member's own.
 *
 * @param entryIds by the place of each print; undefined for those that count for none
 * @throws Problem 422 for an entry of somebody else's, or one that is gone
 */
export async function countPrints(
  trx: Db,
  { id: ownerId }: Viewer,
  printIds: readonly string[],
  entryIds: readonly (string | undefined)[],
): Promise<void> {
  const pairs = printIds.flatMap((printId, place) => {
    const entryId = entryIds[place]
    return entryId === undefined ? [] : [{ printId, entryId, place }]
  })
  if (pairs.length === 0) return
  const { rows } = await sql<{ printId: string }>`
    insert into roster_print (print_id, entry_id)
    select given.print_id, entry.id
    from unnest(${pairs.map(({ printId }) => printId)}::uuid[], ${pairs.map(({ entryId }) => entryId)}::uuid[])
      as given (print_id, entry_id)
    join roster_entry entry on entry.id = given.entry_id
    join roster on roster.id = entry.roster_id
    where roster.owner_id = ${ownerId}
    returning print_id`.execute(trx)
  const kept = new Set(rows.map(({ printId }) => printId))
  const [lost] = pairs.filter(({ printId }) => !kept.has(printId))
  if (lost) throw invalid(pointer(['prints', lost.place, 'entryId']), 'This entry is no longer in any of your rosters.')
}
