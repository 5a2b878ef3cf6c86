import { sql } from 'kysely'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { isSteward } from '../../../http/access.ts'
import { conflict } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { expectChange, type Wanted } from '../../../http/version.ts'
import { fileHead } from '../../catalogue/files/heads.ts'
import { markForFit } from '../../evidence/mark.ts'
import { dropPlansNaming } from './locked.ts'

/**
 * Removes a file that was added by mistake, with its revisions, snags and own offers: whoever added it while nobody else
 * has written about it, or a steward.
 *
 * @throws Problem 403, 404, 409 while anybody uses it, 412
 */
export async function removeFile(db: Db, viewer: Viewer, id: string, wanted?: Wanted): Promise<void> {
  await inTransaction(db, async (trx) => {
    const { createdBy: ownerId, version } = await fileHead(trx, id)
    expectChange(viewer, { ownerId, version }, 'A file is removed by whoever added it, or by a steward.', wanted)
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
  if (rows[0]?.used) throw conflict('Somebody proposed, bought, keeps or printed this file, so it stays.')
  if (rows[0]?.othersWrote && !isSteward(viewer))
    throw conflict('Others wrote about this file meanwhile. A steward can remove it.')
}
