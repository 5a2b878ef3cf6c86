import type { Db } from '../../../../db/connect.ts'
import { baseOf } from '../../../http/base.ts'
import type { Group } from '../../../http/group.ts'
import type { Viewer } from '../../../http/session.ts'
import type { Crowding } from '../../../scoring/model.ts'
import { sculptorColumns } from '../../catalogue/files/rules.ts'
import { groupModel, successOfFiles } from '../../evidence/queries.ts'
import { ratesNow } from '../../people/settings/queries.ts'
import { machineFor } from '../../printing/printers/machine.ts'
import { usualOf } from '../../printing/printers/own.ts'
import { type PricedFile, pricing } from './price.ts'
import { exchangeInto, type OfferFacts } from './rules.ts'

export type Facts = Awaited<ReturnType<typeof factsFor>>
export type FileFacts = Awaited<ReturnType<typeof filesOf>>[number]
export type SnagFacts = Awaited<ReturnType<typeof snagsOf>>[number]

interface Asked {
  /** what the viewer has counts, and their usual printer prints */
  own: boolean
  group: Group
  crowding?: Crowding
}

/** Everything that the ranking needs to know of some files, in one query each. */
export async function factsFor(db: Db, viewer: Viewer, fileIds: string[], asked: Asked) {
  const { own, group, crowding = 'about full' } = asked
  const model = await groupModel(db)
  const printer = own ? await usualPrinter(db, viewer) : null
  const machine = await machineFor(db, printer?.id ?? null, model)
  return {
    files: byKey(await filesOf(db, fileIds), (row) => row.id),
    offers: await offersOf(db, fileIds),
    snags: await openSnags(db, fileIds),
    success: await successOfFiles(db, fileIds, model),
    exchange: exchangeInto(group.currency, await ratesNow(db)),
    archive: new Set(own ? await archiveOf(db, viewer.id) : []),
    memberships: new Set(own ? await membershipsOf(db, viewer.id) : []),
    printer,
    pricing: pricing({ group, draws: model.group, machine, crowding }, printer),
  }
}

/** The member's usual printer, or the first that they use: none that is retired. */
async function usualPrinter(db: Db, viewer: Viewer) {
  const inUse = await db
    .selectFrom('printer')
    .select(['id', 'name', 'plateWidthMm', 'plateDepthMm', 'buildHeightMm', 'layerUm', 'exposureS', 'bottomLayers'])
    .select(['bottomExposureS', 'cycleOverheadS'])
    .where('ownerId', '=', viewer.id)
    .where('state', '=', 'in use')
    .orderBy('id')
    .execute()
  return usualOf(inUse, viewer) ?? null
}

/** What a print of the file costs by. */
export function printFacts(facts: Pick<Facts, 'files' | 'snags'>, fileId: string): PricedFile {
  const file = facts.files.get(fileId)
  const minutes = (facts.snags.get(fileId) ?? []).reduce((sum, snag) => sum + (snag.minutes ?? 0), 0)
  return { resinMl: file?.resinMl ?? null, base: file ? baseOf(file) : null, minutes }
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
    .where('state', '!=', 'mended')
    .orderBy('id')
    .execute()

const archiveOf = async (db: Db, memberId: string) =>
  (await db.selectFrom('archive').select('fileId').where('memberId', '=', memberId).execute()).map((row) => row.fileId)

const membershipsOf = async (db: Db, memberId: string) =>
  (await db.selectFrom('runningMembership').select('offerId').where('memberId', '=', memberId).execute()).map(
    (row) => row.offerId,
  )

const byKey = <Row, Key>(rows: Row[], key: (row: Row) => Key) => new Map(rows.map((row) => [key(row), row]))
