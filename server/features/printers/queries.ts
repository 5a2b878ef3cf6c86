import { sql } from 'kysely'
import { v7 } from 'uuid'
import { z } from 'zod'
import { type Db, inTransaction } from '../../../db/connect.ts'
import { uniqueViolation } from '../../../db/failures.ts'
import { mayChange } from '../../http/access.ts'
import { cutPage, type Page, readCursor } from '../../http/paging.ts'
import { conflict, forbidden, notFound } from '../../http/problem.ts'
import type { Viewer } from '../../http/session.ts'
import { expectVersion } from '../../http/version.ts'
import type { Told } from '../../scoring/cases.ts'
import type { Hyper } from '../../scoring/priors.ts'
import { successOfPeriod } from '../../scoring/success.ts'
import { currentFit, hyperOf, toldOf } from '../evidence/queries.ts'
import { looksOf } from './looks.ts'
import type { ChangedPrinter, Look, NewPrinter, Printer, UpkeepPeriod, WholePrinter } from './schema.ts'
import { periodsOf, upkeepOf } from './upkeep.ts'

/** Printers with their present upkeep period. */
const printers = (db: Db) =>
  db
    .selectFrom('printer')
    .innerJoin('member', 'member.id', 'printer.ownerId')
    .leftJoinLateral(
      (eb) =>
        eb
          .selectFrom('printerPeriod')
          .leftJoin('periodSuccess', (learnt) =>
            learnt.onRef('periodId', '=', 'printerPeriod.id').on('fit', '=', currentFit),
          )
          .select(['startsOn', 'x', 'y', 'cases'])
          .whereRef('printerId', '=', 'printer.id')
          .orderBy('startsOn', (order) => order.desc().nullsLast())
          .limit(1)
          .as('period'),
      (join) => join.onTrue(),
    )
    .select(['printer.id', 'printer.ownerId', 'member.name as ownerName', 'printer.name', 'plateWidthMm'])
    .select(['plateDepthMm', 'buildHeightMm', 'layerUm', 'exposureS', 'bottomLayers', 'bottomExposureS'])
    .select(['cycleOverheadS', 'printer.state', 'printer.createdAt', 'printer.version'])
    .select(['period.startsOn as lastUpkeepOn', 'period.x', 'period.y', 'period.cases'])

type Row = Awaited<ReturnType<ReturnType<typeof printers>['executeTakeFirstOrThrow']>>

function shown(row: Row, hyper: Hyper): Printer {
  const { ownerId, ownerName, plateWidthMm, plateDepthMm, x, y, cases, createdAt, ...rest } = row
  return {
    ...rest,
    owner: { id: ownerId, name: ownerName },
    plateMm: [plateWidthMm, plateDepthMm],
    success: shownSuccess(toldOf({ x: x ?? 0, y: y ?? 0 }, cases), hyper),
    createdAt: createdAt.toISOString(),
  }
}

function shownSuccess(total: Told, hyper: Hyper) {
  const { mean, low, high, copies } = successOfPeriod(total, hyper)
  return { mean, low, high, copies }
}

const columnsOf = ({ plateMm, ...columns }: ChangedPrinter) => ({
  ...columns,
  ...(plateMm && { plateWidthMm: plateMm[0], plateDepthMm: plateMm[1] }),
})

interface Which {
  limit: number
  after?: string | undefined
  memberId?: string | undefined
  /** everybody's but this member's */
  exceptMemberId?: string | undefined
}

/** A page of the group's printers, as they were added; of one member where asked for. */
export async function listPrinters(db: Db, { limit, after, ...whose }: Which): Promise<Page<Printer>> {
  const cursor = readCursor(after, z.tuple([z.uuid()]))
  const rows = await printers(db)
    .$if(whose.memberId !== undefined, (query) => query.where('printer.ownerId', '=', whose.memberId ?? ''))
    .$if(whose.exceptMemberId !== undefined, (query) =>
      query.where('printer.ownerId', '<>', whose.exceptMemberId ?? ''),
    )
    .$if(cursor !== undefined, (query) => query.where('printer.id', '>', cursor?.[0] ?? ''))
    .orderBy('printer.id')
    .limit(limit + 1)
    .execute()
  const hyper = await hyperOf(db)
  const cut = cutPage(rows, limit, (row) => [row.id])
  return { items: cut.items.map((row) => shown(row, hyper)), next: cut.next }
}

/** Who a printer belongs to, and its version. @throws Problem 404 */
export async function printerOwner(db: Db, id: string) {
  const row = await db
    .selectFrom('printer')
    .select(['ownerId', 'version', 'state'])
    .where('id', '=', id)
    .executeTakeFirst()
  if (!row) throw notFound('printer')
  return row
}

/**
 * A printer with its upkeep, how it did between, and whether it wants a look.
 *
 * @param today the day from which "long ago" counts, `YYYY-MM-DD`
 * @throws Problem 404
 */
export async function readPrinter(db: Db, id: string, today: string): Promise<WholePrinter> {
  const row = await printers(db).where('printer.id', '=', id).executeTakeFirst()
  if (!row) throw notFound('printer')
  const hyper = await hyperOf(db)
  const periods = await periodsOf(db, id)
  const upkeep = await upkeepOf(db, id)
  const looks = await looksOf(db, [id], today)
  return {
    ...shown(row, hyper),
    upkeep,
    periods: periods.map(
      ({ x, y, cases, ...period }): UpkeepPeriod => ({
        ...period,
        success: shownSuccess(toldOf({ x, y }, cases), hyper),
      }),
    ),
    look: row.state === 'retired' ? retired : (looks.get(id) ?? noPeriods),
  }
}

const noPeriods: Look = { due: false, because: 'nothing speaks for it', words: '' }
const retired: Look = { ...noPeriods, words: 'It is retired: no more plates are printed on it.' }

/** Adds a printer of the member's; the first becomes their usual one. @throws Problem 409 for a name they have already */
export async function addPrinter(db: Db, viewer: Viewer, printer: NewPrinter, today: string): Promise<WholePrinter> {
  const id = v7()
  return inTransaction(db, async (trx) => {
    const { plateMm, ...columns } = printer
    const plate = { plateWidthMm: plateMm[0], plateDepthMm: plateMm[1] }
    await trx
      .insertInto('printer')
      .values({ id, ownerId: viewer.id, ...columns, ...plate })
      .execute()
      .catch(refuseTwin)
    await trx.insertInto('printerPeriod').values({ id: v7(), printerId: id, startsOn: null }).execute()
    await trx
      .updateTable('member')
      .set({ defaultPrinterId: id })
      .where('id', '=', viewer.id)
      .where('defaultPrinterId', 'is', null)
      .execute()
    return readPrinter(trx, id, today)
  })
}

/**
 * Changes a printer: its owner, or a steward.
 *
 * @param wanted the version that is meant to be changed, if the caller said one
 * @throws Problem 403, 404, 409 (the owner has another of this name), 412
 */
export async function changePrinter(
  db: Db,
  viewer: Viewer,
  id: string,
  change: ChangedPrinter,
  { wanted, today }: { wanted: number | undefined; today: string },
): Promise<WholePrinter> {
  const before = await printerOwner(db, id)
  if (!mayChange(viewer, before.ownerId)) throw forbidden('A printer is changed by its owner, or by a steward.')
  expectVersion(before.version, wanted)
  const done = await db
    .updateTable('printer')
    .set({ ...columnsOf(change), version: sql<number>`version + 1` })
    .where('id', '=', id)
    .$if(wanted !== undefined, (query) => query.where('version', '=', before.version))
    .executeTakeFirst()
    .catch(refuseTwin)
  if (done.numUpdatedRows === 0n) expectVersion(-1, wanted)
  return readPrinter(db, id, today)
}

function refuseTwin(error: unknown): never {
  if (uniqueViolation(error) === 'printer_name') throw conflict('There is a printer of this name already.')
  throw error
}
