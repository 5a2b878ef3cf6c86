import { v7 } from 'uuid'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { ifTaken } from '../../../../db/failures.ts'
import { jsonRows } from '../../../../db/json.ts'
import { withPlateMm } from '../../../http/base.ts'
import { type Asked, pageById, shownPage } from '../../../http/paging.ts'
import { conflict, notFound } from '../../../http/problem.ts'
import { addRow, changeRow, rowOf } from '../../../http/rows.ts'
import type { Viewer } from '../../../http/session.ts'
import { expectChange, type Wanted } from '../../../http/version.ts'
import { groupModel } from '../../evidence/queries.ts'
import { wetPlates } from '../plates/queries.ts'
import { shownUpkeep, upkeepOf } from '../upkeep/queries.ts'
import { type Film, filmIn, filmPlatesOf, filmsOf } from './film.ts'
import { type Machine, machineByPeriod } from './machines.ts'
import { lookOf, retired } from './rules.ts'
import type { ChangedPrinter, FilmPlate, NewPrinter, Printer, WholePrinter } from './schema.ts'

const printers = (db: Db) =>
  db
    .selectFrom('printer')
    .innerJoin('member', 'member.id', 'printer.ownerId')
    .select(['printer.id', 'printer.ownerId', 'member.name as ownerName', 'printer.name', 'plateWidthMm'])
    .select(['plateDepthMm', 'buildHeightMm', 'layerUm', 'exposureS', 'bottomLayers', 'bottomExposureS'])
    .select(['cycleOverheadS', 'printer.state', 'printer.createdAt', 'printer.version'])

type Row = Awaited<ReturnType<ReturnType<typeof printers>['executeTakeFirstOrThrow']>>

function shown(row: Row, film: Film | undefined): Printer {
  // Every printer has a period.
  if (!film) throw new Error(`printer ${row.id} has no upkeep period`)
  const { ownerId, ownerName, createdAt, ...rest } = row
  return {
    ...withPlateMm(rest),
    owner: { id: ownerId, name: ownerName },
    lastUpkeepOn: film.startsOn,
    success: successOf(film),
    look: row.state === 'retired' ? retired : lookOf(film),
    createdAt: createdAt.toISOString(),
  }
}

const successOf = ({ mean, low, high, tried }: Machine) => ({ mean, low, high, copies: tried })

const columnsOf = ({ plateMm, ...columns }: ChangedPrinter) => ({
  ...columns,
  ...(plateMm && { plateWidthMm: plateMm[0], plateDepthMm: plateMm[1] }),
})

interface Which extends Asked {
  memberId?: string | undefined
  /** everybody's but this member's */
  exceptMemberId?: string | undefined
}

/**
 * A page of the group's printers, as they were added; of one member where asked for.
 *
 * @param today the day from which "long idle" counts, `YYYY-MM-DD`
 */
export async function listPrinters(db: Db, { memberId, exceptMemberId, ...asked }: Which, today: string) {
  const some = printers(db)
    .$if(memberId !== undefined, (query) => query.where('printer.ownerId', '=', memberId ?? ''))
    .$if(exceptMemberId !== undefined, (query) => query.where('printer.ownerId', '<>', exceptMemberId ?? ''))
  const rows = await pageById(some, 'printer.id', 'asc', asked)
  const films = await filmsOf(db, idsOf(rows.items), today)
  return shownPage(rows, (row) => shown(row, films.get(row.id)))
}

/** So many of the latest plates of a printer are drawn in a list, and on its own page. */
const [drawnPlates, mostPlates] = [16, 60]

/** The latest plates of printers in use, for a drawing of their films. @returns by printer, oldest first */
export async function latestFilms(db: Db, printers: readonly Printer[]): Promise<Map<string, FilmPlate[]>> {
  const inUse = printers.filter(({ state }) => state === 'in use')
  return inUse.length === 0 ? new Map() : filmPlatesOf(db, idsOf(inUse), await groupModel(db), drawnPlates)
}

const idsOf = (rows: readonly { id: string }[]) => rows.map(({ id }) => id)

/** Who a printer belongs to, and its version. @throws Problem 404 */
export async function printerOwner(db: Db, id: string) {
  return rowOf(db, 'printer', id, ['ownerId', 'version', 'state'])
}

/**
 * A printer with its upkeep, how it did between, whether it wants a look, and what the viewer has to tell of it.
 *
 * @param today the day from which "long idle" counts, `YYYY-MM-DD`
 * @throws Problem 404
 */
export async function readPrinter(db: Db, viewer: Viewer, id: string, today: string) {
  const row = await printers(db)
    .select([
      jsonRows(upkeepOf(db, id)).as('upkeep'),
      jsonRows(wetPlates(db, viewer.id).where('printerId', '=', id)).as('wet'),
    ])
    .where('printer.id', '=', id)
    .executeTakeFirstOrThrow(() => notFound('printer'))
  const { upkeep, wet, ...printer } = row
  const model = await groupModel(db)
  const [present, ...before] = await machineByPeriod(db, id, model)
  const whole: WholePrinter = {
    ...shown(printer, present && filmIn(present, today, model)),
    upkeep: upkeep.map(shownUpkeep),
    periods: [...(present ? [present] : []), ...before].filter(saysAnything).map(periodOf),
    film: (await filmPlatesOf(db, [id], model, mostPlates)).get(id) ?? [],
  }
  return { ...whole, wet }
}

/** The time before any upkeep was noted says nothing while nothing was printed in it. */
const saysAnything = ({ startsOn, plates }: Machine, _: number, all: readonly Machine[]) =>
  startsOn !== null || plates > 0 || all.length === 1

const periodOf = (period: Machine): WholePrinter['periods'][number] => {
  const { startsOn, plates: reports, tried, good } = period
  return { startsOn, reports, tried, good, success: successOf(period) }
}

/** Adds a printer of the member's; the first becomes their usual one. @throws Problem 409 for a name they have already */
export async function addPrinter(db: Db, viewer: Viewer, printer: NewPrinter, today: string): Promise<WholePrinter> {
  const id = v7()
  return inTransaction(db, async (trx) => {
    const { plateMm, ...columns } = printer
    const plate = { plateWidthMm: plateMm[0], plateDepthMm: plateMm[1] }
    await addRow(trx, 'printer', { id, ownerId: viewer.id, ...columns, ...plate }).catch(refuseTwin)
    await addRow(trx, 'printerPeriod', { id: v7(), printerId: id, startsOn: null })
    await trx
      .updateTable('member')
      .set({ defaultPrinterId: id })
      .where('id', '=', viewer.id)
      .where('defaultPrinterId', 'is', null)
      .execute()
    return readPrinter(trx, viewer, id, today)
  })
}

export const whoChangesPrinters = 'Only a printer’s owner, or a steward, can change it.'

/**
 * Changes a printer: its owner, or a steward.
 *
 * @throws Problem 403, 404, 409 (the owner has another of this name), 412
 */
export async function changePrinter(
  db: Db,
  viewer: Viewer,
  id: string,
  change: ChangedPrinter,
  { wanted, today }: { wanted: Wanted; today: string },
): Promise<WholePrinter> {
  const meant = expectChange(viewer, await printerOwner(db, id), whoChangesPrinters, wanted)
  await changeRow(db, 'printer', id, columnsOf(change), meant).catch(refuseTwin)
  return readPrinter(db, viewer, id, today)
}

const refuseTwin = ifTaken(() => conflict('You already have a printer with this name.'), 'printer_name')
