import { sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'
import type { Pair } from './locked.ts'

/**
 * Revisions of one label are the same one: their supports, prints and snags come together. The others go over as they are.
 */
export async function mergeRevisions(trx: Db, { from, into }: Pair): Promise<void> {
  const twins = sql`(select old.id as old_id, kept.id as kept_id from revision old
    join revision kept on kept.label = old.label and kept.file_id = ${into} where old.file_id = ${from})`
  await mergeMeasures(trx, twins)
  await mergeSupports(trx, twins)
  await sql`update revision set
      released_on = coalesce(revision.released_on, old.released_on), sha256 = coalesce(revision.sha256, old.sha256)
    from ${twins} twin join revision old on old.id = twin.old_id where revision.id = twin.kept_id`.execute(trx)
  await sql`update snag set revision_id = twin.kept_id from ${twins} twin where revision_id = twin.old_id`.execute(trx)
  await sql`update snag set mended_in_revision_id = twin.kept_id from ${twins} twin
    where mended_in_revision_id = twin.old_id`.execute(trx)
  await sql`delete from revision where id in (select old_id from ${twins} twin)`.execute(trx)
  await trx.updateTable('revision').set({ fileId: into }).where('fileId', '=', from).execute()
  await sql`delete from snag where file_id = ${from} and state <> 'mended' and exists (
    select from snag kept where kept.file_id = ${into} and kept.revision_id = snag.revision_id
      and kept.kind = snag.kind and plain(kept.part) = plain(snag.part) and kept.state <> 'mended')`.execute(trx)
  await trx.updateTable('snag').set({ fileId: into }).where('fileId', '=', from).execute()
}

/**
 * Of two measures of what is now one thing the later one counts. They go over before the supports do: what is measured of
 * supports that only one of them has goes over with these.
 */
async function mergeMeasures(trx: Db, twins: ReturnType<typeof sql>): Promise<void> {
  const moved = sql`(select measure.id, measured_at, twin.kept_id as revision_id, null::uuid as support_set_id
    from ${twins} twin join measure on measure.revision_id in (twin.old_id, twin.kept_id) and support_set_id is null
    union all select measure.id, measured_at, twin.kept_id, kept.id
    from ${twins} twin
    join support_set old on old.revision_id = twin.old_id
    join support_set kept on kept.revision_id = twin.kept_id and kept.kind = old.kind
    join measure on measure.support_set_id in (old.id, kept.id))`
  await sql`delete from measure using (select id, row_number() over (
      partition by revision_id, support_set_id order by measured_at desc, id desc) as place from ${moved} moved) ranked
    where ranked.id = measure.id and place > 1`.execute(trx)
  await sql`update measure set revision_id = moved.revision_id, support_set_id = moved.support_set_id
    from ${moved} moved where moved.id = measure.id`.execute(trx)
}

/** Supports of one kind on what is now one revision are one set; its prints come together, plate by plate. */
async function mergeSupports(trx: Db, twins: ReturnType<typeof sql>): Promise<void> {
  const sets = sql`(select old.id as old_id, kept.id as kept_id from ${twins} twin
    join support_set old on old.revision_id = twin.old_id
    join support_set kept on kept.revision_id = twin.kept_id and kept.kind = old.kind)`
  const prints = sql`(select old.id as old_id, kept.id as kept_id from ${sets} pair
    join print old on old.support_set_id = pair.old_id
    join print kept on kept.support_set_id = pair.kept_id and kept.plate_id = old.plate_id)`
  await sql`update print set tried = print.tried + old.tried, good = print.good + old.good,
      mended = print.mended + old.mended,
      mended_minutes = nullif(coalesce(print.mended_minutes, 0) + coalesce(old.mended_minutes, 0), 0)
    from ${prints} pair join print old on old.id = pair.old_id where print.id = pair.kept_id`.execute(trx)
  await sql`insert into print_failure (print_id, seen, copies)
    select pair.kept_id, failure.seen, failure.copies
    from ${prints} pair join print_failure failure on failure.print_id = pair.old_id
    on conflict (print_id, seen) do update set copies = print_failure.copies + excluded.copies`.execute(trx)
  await sql`insert into roster_print (print_id, entry_id)
    select pair.kept_id, counted.entry_id
    from ${prints} pair join roster_print counted on counted.print_id = pair.old_id
    on conflict do nothing`.execute(trx)
  await sql`update picture set print_id = pair.kept_id from ${prints} pair where print_id = pair.old_id`.execute(trx)
  await sql`delete from print where id in (select old_id from ${prints} pair)`.execute(trx)
  await sql`update print set support_set_id = pair.kept_id from ${sets} pair
    where support_set_id = pair.old_id`.execute(trx)
  await sql`delete from support_set where id in (select old_id from ${sets} pair)`.execute(trx)
  await sql`update support_set set revision_id = twin.kept_id from ${twins} twin
    where revision_id = twin.old_id`.execute(trx)
}
