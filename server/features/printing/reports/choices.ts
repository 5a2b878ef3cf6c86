import { sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'
import type { Viewer } from '../../../http/session.ts'

/** Why a file is offered for a report. */
export type WhyOffered = 'printed' | 'settled' | 'archived'

/** The files that a member most likely has on the plate: printed lately, settled on, in the archive; the latest first. */
export async function likelyFiles(db: Db, memberId: string, limit = 10) {
  const printed = db
    .selectFrom('plate')
    .innerJoin('print', 'print.plateId', 'plate.id')
    .innerJoin('supportSet', 'supportSet.id', 'print.supportSetId')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .select(['revision.fileId', 'plate.createdAt as since', sql<WhyOffered>`'printed'`.as('why')])
    .where('plate.memberId', '=', memberId)
  const settled = db
    .selectFrom('request')
    .select((eb) => [eb.ref('settledFileId').$notNull().as('fileId'), eb.ref('closedAt').$notNull().as('since')])
    .select(sql<WhyOffered>`'settled'`.as('why'))
    .where('askerId', '=', memberId)
    .where('settledFileId', 'is not', null)
  const archived = db
    .selectFrom('archive')
    .select(['fileId', 'createdAt as since', sql<WhyOffered>`'archived'`.as('why')])
    .where('memberId', '=', memberId)
  const all = printed.unionAll(settled).unionAll(archived)
  const latest = db
    .selectFrom(all.as('known'))
    .distinctOn('fileId')
    .select(['fileId', 'since', 'why'])
    .orderBy('fileId')
    .orderBy('since', 'desc')
  return db
    .selectFrom(latest.as('latest'))
    .select(['fileId', 'why'])
    .orderBy('since', 'desc')
    .orderBy('fileId')
    .limit(limit)
    .execute()
}

/** A member's printers in use, in the order in which they were added. @param alsoId one to offer even if it is retired */
export async function printersToChoose(db: Db, { id: memberId }: Viewer, alsoId?: string) {
  return db
    .selectFrom('printer')
    .select(['id', 'name', 'plateWidthMm', 'plateDepthMm'])
    .where('ownerId', '=', memberId)
    .where((eb) => eb.or([eb('state', '=', 'in use'), ...(alsoId === undefined ? [] : [eb('id', '=', alsoId)])]))
    .orderBy('id')
    .execute()
}
