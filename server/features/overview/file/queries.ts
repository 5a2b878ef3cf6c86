import type { Db } from '../../../../db/connect.ts'
import { jsonRows } from '../../../../db/json.ts'
import { often } from '../../../../db/often.ts'
import type { Viewer } from '../../../http/session.ts'
import { newestOfFile, shownPicture } from '../../printing/pictures/queries.ts'
import { countsByMonth } from '../../printing/plates/queries.ts'

/** What the group made of a file: what was reported on each of its support sets month by month, and its newest pictures. */
export async function printedOf(db: Db, viewer: Viewer, fileId: string) {
  const [made] = await readMade(db, { fileId })
  return { months: made?.months ?? [], pictures: (made?.pictures ?? []).map((row) => shownPicture(row, viewer)) }
}

const readMade = often((db, { fileId }: { fileId: string }) =>
  db.selectNoFrom([
    jsonRows(countsByMonth(db, fileId)).as('months'),
    jsonRows(newestOfFile(db, fileId)).as('pictures'),
  ]),
)
