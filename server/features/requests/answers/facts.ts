import { type ExpressionBuilder, sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'
import { jsonRows } from '../../../../db/json.ts'
import { often, unseen } from '../../../../db/often.ts'
import type { Tables } from '../../../../db/tables.ts'
import { baseOf } from '../../../http/base.ts'
import type { Bottle } from '../../../http/bottle.ts'
import { faceOf } from '../../../http/face.ts'
import type { Group } from '../../../http/group.ts'
import type { Viewer } from '../../../http/session.ts'
import { footOf } from '../../../planning/plate.ts'
import type { Crowding } from '../../../scoring/model.ts'
import { archived } from '../../catalogue/files/queries.ts'
import { sculptorColumns } from '../../catalogue/files/rules.ts'
import { footPrintOf, shadowOf } from '../../catalogue/measures/drawn.ts'
import { type GroupModel, groupModel, successOfFiles } from '../../evidence/queries.ts'
import { machineOn, type PresentPrinter, printersInUse, usualOf } from '../../printing/printers/own.ts'
import { countedResin, ratesOf } from '../../printing/resins/rules.ts'
import { cheapestPrint, type PricedPrint, type Pricing, pricing } from './price.ts'
import { exchangeInto } from './rules.ts'

export type Facts = Awaited<ReturnType<typeof factsFor>>
export type FileFacts = Awaited<ReturnType<typeof readFiles>>[number]

interface Asked {
  /** what the viewer has counts, their usual resin too, and their usual printer prints */
  own: boolean
  crowding?: Crowding
  /** `cantTell` is shown */
  doubts?: boolean
  /** files come with their shadow and face */
  drawn?: boolean
}

/** Which files: these, or those that stand in for any of these units. */
export type Which = { ids: readonly string[] } | { unitIds: readonly string[] }

/** Everything that the ranking needs to know of some files. */
export async function factsFor(db: Db, viewer: Viewer, which: Which, asked: Asked) {
  const { own, crowding = 'about full', doubts = true, drawn = false } = asked
  const { group } = viewer
  const model = await groupModel(db)
  const printers = own ? await printersInUse(db, viewer, model) : []
  const printer = usualOf(printers, viewer) ?? null
  const bottle = own ? viewer.resin : null
  const files = await readFiles(db, { unitIds: [], ...which, ownerId: own ? viewer.id : null, ...(drawn && { drawn }) })
  const ids = files.map(({ id }) => id)
  const offers = files.flatMap((file) => file.offers)
  return {
    model,
    printer,
    printers,
    resin: countedResin(bottle, group),
    files: new Map(files.map((file) => [file.id, file])),
    success: await successOfFiles(db, ids, model, { doubts }),
    exchange: exchangeInto(group),
    memberships: new Set(offers.filter(({ runs }) => runs).map(({ id }) => id)),
    pricing: pricingOn(model, group, { printer, bottle, crowding }),
  }
}

/** What prints cost by: on a member's printer and out of their bottle, or for anybody where there are none. */
export const pricingOn = (
  model: GroupModel,
  group: Group,
  { printer, bottle, crowding }: { printer: PresentPrinter | null; bottle: Bottle | null; crowding: Crowding },
): Pricing =>
  pricing(
    {
      group: { ...group, ...ratesOf(bottle, group) },
      draws: model.group,
      machine: machineOn(printer, model),
      crowding,
    },
    printer,
  )

/** The facts that a price rests on. */
export type PricedFacts = Pick<Facts, 'success' | 'pricing'>

/** A file as far as its prints have a price. */
export interface PricedFile extends Pick<FileFacts, 'id' | 'resinMl' | 'footPrint'> {
  baseShape: FileFacts['baseShape']
  baseWidthMm: FileFacts['baseWidthMm']
  baseLengthMm: FileFacts['baseLengthMm']
  /** those that are not mended */
  snags: readonly { minutes: number | null }[]
}

/** What so many good copies of a file cost, without the price of the file: the one answer for ranking and planning. */
export function priceOf(facts: PricedFacts, file: PricedFile, wanted: number): PricedPrint | undefined {
  const minutes = file.snags.reduce((sum, snag) => sum + (snag.minutes ?? 0), 0)
  const printed = { resinMl: file.resinMl, foot: footOf(file.footPrint, baseOf(file)), minutes }
  return cheapestPrint(printed, facts.success.get(file.id) ?? [], wanted, facts.pricing)
}

/** Files with their offers and open snags. */
interface Given {
  ids?: readonly string[]
  unitIds: readonly string[]
  /** whose archive and memberships count; null: nobody's */
  ownerId: string | null
  drawn?: true
}

const readFiles = often((db, { ids, unitIds, ownerId, drawn }: Given) => {
  const standIns = sql`array(select file_id from file_unit where unit_id = any(${unseen(unitIds, 'uuid[]')}))`
  return db
    .selectFrom('file')
    .innerJoin('sculptor', 'sculptor.id', 'file.sculptorId')
    .select(['file.id', 'title', 'scaleMm', 'heightMm', 'createdBy', 'othersWords', ...sculptorColumns])
    .select(['baseShape', 'baseWidthMm', 'baseLengthMm', 'options', 'styleTags', 'resinMl'])
    .select((eb) => [
      footPrintOf().as('footPrint'),
      jsonRows(offersOf(eb, ownerId)).as('offers'),
      jsonRows(openSnagsOf(eb)).as('snags'),
      eb.exists(archived(eb, ownerId)).$castTo<boolean>().as('inArchive'),
      sql<string[]>`array(
        select unit_id::text from file_unit where file_unit.file_id = file.id and unit_id = any(${unseen(unitIds, 'uuid[]')})
      )`.as('standsInFor'),
    ])
    .$if(drawn !== undefined, (query) => query.select([shadowOf().as('shadow'), faceOf.as('face')]))
    .where(sql<boolean>`file.id = any(${ids === undefined ? standIns : unseen(ids, 'uuid[]')})`)
    .orderBy('file.id')
})

type OfFile = ExpressionBuilder<Tables, 'file'>

const offersOf = (eb: OfFile, ownerId: string | null) =>
  eb
    .selectFrom('offerFile')
    .innerJoin('offer', 'offer.id', 'offerFile.offerId')
    .select(['offer.id', 'kind', 'priceMinor', 'priceCurrency', 'minMonths', 'state'])
    .select((offer) =>
      offer
        .exists(
          offer
            .selectFrom('runningMembership')
            .select('offerId')
            .whereRef('runningMembership.offerId', '=', 'offer.id')
            .where('memberId', '=', ownerId),
        )
        .$castTo<boolean>()
        .as('runs'),
    )
    .whereRef('offerFile.fileId', '=', 'file.id')
    .orderBy('offer.id')

const openSnagsOf = (eb: OfFile) =>
  eb
    .selectFrom('snag')
    .select(['id', 'kind', 'severity', 'part', 'minutes', 'detail', 'state', 'createdBy', 'othersWords'])
    .whereRef('snag.fileId', '=', 'file.id')
    .where('state', '!=', 'mended')
    .orderBy('id')
