import type { Db } from '../../../db/connect.ts'
import type { Group } from '../../http/group.ts'
import type { Viewer } from '../../http/session.ts'
import { machineShape, modelOf, successOfFiles } from '../evidence/queries.ts'
import { sculptorColumns } from '../files/rules.ts'
import { usualOf } from '../printers/own.ts'
import { ratesNow } from '../settings/queries.ts'
import { exchangeInto, type OfferFacts } from './rules.ts'

export type Facts = Awaited<ReturnType<typeof factsFor>>
export type FileFacts = Awaited<ReturnType<typeof filesOf>>[number]
export type SnagFacts = Awaited<ReturnType<typeof snagsOf>>[number]

/** Everything that the ranking needs to know of some files, in one query each. */
export async function factsFor(
  db: Db,
  viewer: Viewer,
  fileIds: string[],
  { own, group }: { own: boolean; group: Group },
) {
  const model = await modelOf(db)
  const usual = own ? await usualPrinter(db, viewer) : null
  return {
    files: byKey(await filesOf(db, fileIds), (row) => row.id),
    offers: await offersOf(db, fileIds),
    snags: await openSnags(db, fileIds),
    success: await successOfFiles(db, fileIds),
    exchange: exchangeInto(group.currency, await ratesNow(db)),
    archive: new Set(own ? await archiveOf(db, viewer.id) : []),
    memberships: new Set(own ? await membershipsOf(db, viewer.id) : []),
    machine: usual ? await machineShape(db, usual) : model.goodMachine,
    plate: model.plates.normal,
  }
}

/** The member's usual printer, or the first that they use: none that is retired. */
async function usualPrinter(db: Db, viewer: Viewer): Promise<string | null> {
  const own = await db
    .selectFrom('printer')
    .select('id')
    .where('ownerId', '=', viewer.id)
    .where('state', '=', 'in use')
    .orderBy('id')
    .execute()
  return usualOf(own, viewer)?.id ?? null
}

async function filesOf(db: Db, fileIds: string[]) {
  if (fileIds.length === 0) return []
  return db
    .selectFrom('file')
    .innerJoin('sculptor', 'sculptor.id', 'file.sculptorId')
    .select(['file.id', 'title', 'scaleMm', 'heightMm', 'createdBy', 'othersWords', ...sculptorColumns])
    .select(['baseShape', 'baseWidthMm', 'baseLengthMm', 'options', 'styleTags', 'resinMl'])
    .where('file.id', 'in', fileIds)
    .execute()
}

async function offersOf(db: Db, fileIds: string[]): Promise<Map<string, OfferFacts[]>> {
  if (fileIds.length === 0) return new Map()
  const rows = await db
    .selectFrom('offerFile')
    .innerJoin('offer', 'offer.id', 'offerFile.offerId')
    .select(['fileId', 'offer.id', 'kind', 'priceMinor', 'priceCurrency', 'minMonths', 'state'])
    .where('fileId', 'in', fileIds)
    .orderBy('offer.id')
    .execute()
  return Map.groupBy(rows, (row) => row.fileId)
}

async function openSnags(db: Db, fileIds: string[]): Promise<Map<string, SnagFacts[]>> {
  if (fileIds.length === 0) return new Map()
  return Map.groupBy(await snagsOf(db, fileIds), (row) => row.fileId)
}

const snagsOf = (db: Db, fileIds: string[]) =>
  db
    .selectFrom('snag')
    .select(['id', 'fileId', 'kind', 'severity', 'part', 'minutes', 'detail', 'state', 'createdBy', 'othersWords'])
    .where('fileId', 'in', fileIds)
    .where('state', '!=', 'fixed')
    .orderBy('id')
    .execute()

const archiveOf = async (db: Db, memberId: string) =>
  (await db.selectFrom('archive').select('fileId').where('memberId', '=', memberId).execute()).map((row) => row.fileId)

const membershipsOf = async (db: Db, memberId: string) =>
  (await db.selectFrom('runningMembership').select('offerId').where('memberId', '=', memberId).execute()).map(
    (row) => row.offerId,
  )

const byKey = <Row, Key>(rows: Row[], key: (row: Row) => Key) => new Map(rows.map((row) => [key(row), row]))
