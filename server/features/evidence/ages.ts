import { sql } from 'kysely'
import type { Db } from '../../../db/connect.ts'
import { unseen } from '../../../db/often.ts'
import { supportSnags } from './rules.ts'

/**
 * Every support set with its line, how many later revisions of its file have supports of its kind (`lag`, 0 for the
 * newest), and whether a snag on the file's supports was mended since. Revisions stand in the order of their file's page:
 * by release, those without a day first, then as they were added.
 *
 * @param fileIds narrows to the sets of these files
 */
export const supportSetAges = (db: Db, fileIds?: readonly string[]) =>
  db
    .selectFrom('supportSet')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .$if(fileIds !== undefined, (query) =>
      query.where('revision.fileId', '=', sql<string>`any(${unseen(fileIds, 'uuid[]')})`),
    )
    .select(['supportSet.id as supportSetId', 'revision.fileId', 'supportSet.kind'])
    .select(
      sql<number>`row_number() over (
        partition by revision.file_id, support_set.kind
        order by revision.released_on desc nulls last, revision.created_at desc, revision.id desc
      ) - 1`.as('lag'),
    )
    .select(
      sql<boolean>`exists (
        select from snag join revision mended on mended.id = snag.mended_in_revision_id
        where snag.file_id = revision.file_id and snag.kind in (${sql.join(supportSnags)})
          and (coalesce(mended.released_on, '-infinity'), mended.created_at, mended.id)
            > (coalesce(revision.released_on, '-infinity'), revision.created_at, revision.id)
      )`.as('mended'),
    )
