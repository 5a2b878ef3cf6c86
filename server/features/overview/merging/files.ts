import { sql } from 'kysely'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { isSteward } from '../../../http/access.ts'
import { conflict } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { expectChange, type Wanted } from '../../../http/version.ts'
import { nameFor } from '../../catalogue/files/changes.ts'
import { fileHead } from '../../catalogue/files/heads.ts'
import { markForFit } from '../../evidence/mark.ts'
import { dropPlansNaming, lockBoth, type Pair } from './locked.ts'
import { mergeOffers } from './offers.ts'
import { mergeRevisions } from './revisions.ts'

/**
 * Makes one file of two that are the same: revisions, prints, pictures, snags, offers, proposals with their votes, shelves and
 * requests go over to the one that stays, and nothing counts twice. What the one that stays does not say is taken from the
 * other. Plans that name the other go.
 *
 * @throws Problem 404, 409 when they are of two sculptors of whom one is unnamed, 422 when there is no other
 */
export async function mergeFiles(db: Db, pair: Pair): Promise<void> {
  await inTransaction(db, async (trx) => {
    await lockBoth(trx, 'file', pair)
    await expectNobodyExposed(trx, pair)
    await mergeRevisions(trx, pair)
    await mergeOffers(trx, pair)
    await mergeProposals(trx, pair)
    await trx.updateTable('request').set({ settledFileId: pair.into }).where('settledFileId', '=', pair.from).execute()
    await sql`insert into archive (member_id, file_id, created_at)
      select member_id, ${pair.into}::uuid, created_at from archive where file_id = ${pair.from}
      on conflict do nothing`.execute(trx)
    await sql`insert into file_unit (file_id, unit_id)
      select ${pair.into}::uuid, unit_id from file_unit where file_id = ${pair.from} on conflict do nothing`.execute(
      trx,
    )
    await trx.updateTable('picture').set({ fileId: pair.into }).where('fileId', '=', pair.from).execute()
    await takeFacts(trx, pair)
    const sculptor = await knownSculptor(trx, pair)
    await dropPlansNaming(trx, [pair.from])
    await trx.deleteFrom('lineDraws').where('fileId', '=', pair.from).execute()
    await trx.deleteFrom('file').where('id', '=', pair.from).execute()
    if (sculptor) await giveSculptor(trx, pair.into, sculptor)
    await markForFit(trx, null)
  })
}

/** What members wrote about a file of an unnamed sculptor is masked by that sculptor's name, and must not lose its mask. */
async function expectNobodyExposed(trx: Db, { from, into }: Pair): Promise<void> {
  const sculptors = await trx
    .selectFrom('sculptor')
    .select(['sculptor.id', 'credit'])
    .where('id', 'in', trx.selectFrom('file').select('sculptorId').where('id', 'in', [from, into]))
    .execute()
  if (sculptors.length > 1 && sculptors.some(({ credit }) => credit === 'unnamed'))
    throw conflict('These files are by two sculptors, one of whom asked not to be named. Merge the sculptors first.')
}

/** Where both answer one request they become one proposal; of a member's two votes the later one counts. */
async function mergeProposals(trx: Db, { from, into }: Pair): Promise<void> {
  const both = sql`proposal old join proposal kept on kept.request_id = old.request_id
    and kept.file_id = ${into} where old.file_id = ${from}`
  await sql`insert into vote (proposal_id, member_id, would_field, created_at)
    select kept.id, vote.member_id, vote.would_field, vote.created_at
    from vote join (select old.id as old_id, kept.id from ${both}) kept on kept.old_id = vote.proposal_id
    on conflict (proposal_id, member_id) do update
      set would_field = excluded.would_field, created_at = excluded.created_at
      where excluded.created_at > vote.created_at`.execute(trx)
  await sql`update proposal set
      covers = array(select distinct unnest(proposal.covers || pair.covers)),
      remark = case when proposal.remark = '' then pair.remark else proposal.remark end
    from (select kept.id, old.covers, old.remark from ${both}) pair where pair.id = proposal.id`.execute(trx)
  await sql`delete from proposal where id in (select old.id from ${both})`.execute(trx)
  await trx.updateTable('proposal').set({ fileId: into }).where('fileId', '=', from).execute()
}

/** What the one that stays does not say. Words taken are not its author's own, so that they are masked for everybody. */
async function takeFacts(trx: Db, { from, into }: Pair): Promise<void> {
  await sql`update file set version = file.version + 1,
      scale_mm = coalesce(file.scale_mm, old.scale_mm),
      height_mm = coalesce(file.height_mm, old.height_mm),
      resin_ml = coalesce(file.resin_ml, old.resin_ml),
      formats = case when file.formats = '{}' then old.formats else file.formats end,
      options = case when file.options = '{}' then old.options else file.options end,
      style_tags = case when file.style_tags = '{}' then old.style_tags else file.style_tags end,
      licence = coalesce(nullif(file.licence, ''), old.licence),
      remark = coalesce(nullif(file.remark, ''), old.remark),
      others_words = file.others_words
        || case when file.options = '{}' then array['options'] else '{}' end
        || case when file.style_tags = '{}' then array['styleTags'] else '{}' end
        || case when file.licence = '' then array['licence'] else '{}' end
        || case when file.remark = '' then array['remark'] else '{}' end,
      face_id = coalesce(file.face_id, old.face_id),
      base_shape = coalesce(file.base_shape, old.base_shape),
      base_width_mm = case when file.base_shape is null then old.base_width_mm else file.base_width_mm end,
      base_length_mm = case when file.base_shape is null then old.base_length_mm else file.base_length_mm end
    from file old where file.id = ${into} and old.id = ${from}`.execute(trx)
}

/** The sculptor of the one that goes, where only that one's is known. */
async function knownSculptor(trx: Db, { from, into }: Pair): Promise<string | undefined> {
  const files = await trx
    .selectFrom('file')
    .innerJoin('sculptor', 'sculptor.id', 'sculptorId')
    .select(['file.id', 'title', 'sculptorId', 'name', 'credit'])
    .where('file.id', 'in', [from, into])
    .execute()
  const [old, kept] = [from, into].map((id) => files.find((file) => file.id === id))
  const isUnknown = kept?.credit === 'named' && kept.name === nameFor(kept.title)
  return isUnknown && old && old.name !== nameFor(old.title) ? old.sculptorId : undefined
}

/** Unless that sculptor has another file of this title, which a steward has to look at first. */
async function giveSculptor(trx: Db, id: string, sculptorId: string): Promise<void> {
  await sql`update file set sculptor_id = ${sculptorId} where id = ${id} and not exists (
    select from file other where other.sculptor_id = ${sculptorId} and plain(other.title) = plain(file.title))`.execute(
    trx,
  )
}

/**
 * Removes a file that was added by mistake, with its revisions, snags and own offers: whoever added it while nobody else
 * has written about it, or a steward.
 *
 * @throws Problem 403, 404, 409 while anybody uses it, 412
 */
export async function removeFile(db: Db, viewer: Viewer, id: string, wanted?: Wanted): Promise<void> {
  await inTransaction(db, async (trx) => {
    const { createdBy: ownerId, version } = await fileHead(trx, id)
    expectChange(viewer, { ownerId, version }, 'Only whoever added a file, or a steward, can remove it.', wanted)
    await trx.selectFrom('file').select('id').where('id', '=', id).forUpdate().execute()
    await expectUnused(trx, viewer, id)
    const own = await trx
      .selectFrom('offerFile')
      .select('offerId')
      .where('fileId', '=', id)
      .where('offerId', 'not in', trx.selectFrom('offerFile').select('offerId').where('fileId', '<>', id))
      .execute()
    await dropPlansNaming(trx, [id])
    await trx.deleteFrom('file').where('id', '=', id).execute()
    const offerIds = own.map(({ offerId }) => offerId)
    if (offerIds.length > 0) await trx.deleteFrom('offer').where('id', 'in', offerIds).execute()
    await markForFit(trx, null)
  })
}

async function expectUnused(trx: Db, viewer: Viewer, id: string): Promise<void> {
  const { rows } = await sql<{ used: boolean; othersWrote: boolean }>`select
      exists (select from proposal where file_id = ${id})
      or exists (select from request where settled_file_id = ${id})
      or exists (select from archive where file_id = ${id} and member_id <> ${viewer.id})
      or exists (select from print join support_set s on s.id = support_set_id
        join revision on revision.id = s.revision_id where revision.file_id = ${id})
      or exists (select from roster_purchase join offer_file using (offer_id) where file_id = ${id}) as used,
      exists (select from revision where file_id = ${id} and created_by <> ${viewer.id})
      or exists (select from measure join revision on revision.id = measure.revision_id
        where file_id = ${id} and measured_by <> ${viewer.id})
      or exists (select from snag where file_id = ${id} and created_by <> ${viewer.id})
      or exists (select from picture where file_id = ${id} and member_id <> ${viewer.id})
      or exists (select from offer join offer_file on offer_id = offer.id
        where file_id = ${id} and created_by <> ${viewer.id}) as others_wrote`.execute(trx)
  if (rows[0]?.used)
    throw conflict('Somebody has proposed, bought or printed this file, or has it on their shelf, so it stays.')
  if (rows[0]?.othersWrote && !isSteward(viewer))
    throw conflict('Others have added to this file, so only a steward can remove it.')
}
