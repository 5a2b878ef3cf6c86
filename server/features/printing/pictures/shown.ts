import type { Db } from '../../../../db/connect.ts'
import { forbidden, invalid, notFound } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import type { Plate } from '../plates/schema.ts'

export const whoShows = 'Pictures of a print are added by whoever printed it.'

/** A print of the viewer's own, and its file. @throws Problem 403, 404 */
export async function printToShow(db: Db, viewer: Viewer, printId: string) {
  const row = await db
    .selectFrom('print')
    .innerJoin('plate', 'plate.id', 'print.plateId')
    .innerJoin('supportSet', 'supportSet.id', 'print.supportSetId')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .select(['plate.memberId', 'revision.fileId'])
    .where('print.id', '=', printId)
    .executeTakeFirstOrThrow(() => notFound('report'))
  if (row.memberId !== viewer.id) throw forbidden(whoShows)
  return { fileId: row.fileId, printId }
}

/** The print of a plate that a form's pictures show, by its place. @throws Problem 422 */
export function pictured({ prints }: Plate, place: number) {
  const print = prints[place]
  if (!print) throw invalid('/pictured', 'Which of them is to be seen?')
  return { fileId: print.file.id, printId: print.id }
}

/** The file that a proposal proposes. @throws Problem 404 */
export async function picturedFile(db: Db, proposalId: string): Promise<string> {
  const row = await db.selectFrom('proposal').select('fileId').where('id', '=', proposalId).executeTakeFirst()
  if (!row) throw notFound('proposal')
  return row.fileId
}
