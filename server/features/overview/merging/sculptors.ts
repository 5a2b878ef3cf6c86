import { type Db, inTransaction } from '../../../../db/connect.ts'
import { conflict } from '../../../http/problem.ts'
import { heldRow } from '../../../http/rows.ts'
import { expectVersion, type Wanted } from '../../../http/version.ts'
import { twoOfOneTitle } from '../../catalogue/sculptors/queries.ts'
import { markForFit } from '../../evidence/mark.ts'
import { lockBoth, type Pair } from './locked.ts'

/**
 * Makes one sculptor of two that are the same. If either asked not to be named, that holds for both.
 *
 * @throws Problem 404, 409 when two of their files have one title, 422 when there is no other
 */
export async function mergeSculptors(db: Db, { from, into }: Pair): Promise<void> {
  await inTransaction(db, async (trx) => {
    await lockBoth(trx, 'sculptor', { from, into })
    await trx
      .updateTable('file')
      .set({ sculptorId: into })
      .where('sculptorId', '=', from)
      .execute()
      .catch(twoOfOneTitle)
    const gone = await trx.selectFrom('sculptor').select('credit').where('id', '=', from).executeTakeFirstOrThrow()
    await trx
      .updateTable('sculptor')
      .set((eb) => ({ version: eb('version', '+', 1), ...(gone.credit === 'unnamed' && { credit: 'unnamed' }) }))
      .where('id', '=', into)
      .execute()
    await trx.deleteFrom('sculptorDraws').where('sculptorId', '=', from).execute()
    await trx.deleteFrom('sculptor').where('id', '=', from).execute()
    await markForFit(trx, null)
  })
}

/** Removes a sculptor of whom no file is left; a steward's alone. @throws Problem 404, 409, 412 */
export async function removeSculptor(db: Db, id: string, wanted?: Wanted): Promise<void> {
  await inTransaction(db, async (trx) => {
    const row = await heldRow(trx, 'sculptor', id, ['version'])
    expectVersion(row.version, wanted, false)
    const file = await trx.selectFrom('file').select('id').where('sculptorId', '=', id).limit(1).executeTakeFirst()
    if (file) throw conflict('There are files by this sculptor, so the name stays. Merge it with another instead.')
    await trx.deleteFrom('sculptorDraws').where('sculptorId', '=', id).execute()
    await trx.deleteFrom('sculptor').where('id', '=', id).execute()
  })
}
