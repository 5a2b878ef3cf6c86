import { v7 } from 'uuid'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import type { Crowding } from '../../../../db/tables.ts'
import { latestToday } from '../../../http/day.ts'
import { conflict, forbidden, invalid, notFound, Problem } from '../../../http/problem.ts'
import { changeRow, heldRow, rowOf } from '../../../http/rows.ts'
import type { Viewer } from '../../../http/session.ts'
import { expectChange, expectVersion, type Wanted } from '../../../http/version.ts'
import { markForFit } from '../../evidence/queries.ts'
import { holdOwnResin, usable } from '../resins/queries.ts'
import { earliestDay, periodOn } from '../upkeep/queries.ts'
import { workedOutCrowding } from './crowding.ts'
import { keepPlate, replacePrints } from './keeping.ts'
import { holdOwnPrinter, inTheirList, ownPrinter, type PrintPath, supported, withSupports } from './places.ts'
import { printsOf, readPlate, shownPlate } from './queries.ts'
import type { ChangedPlate, ChangedPrint, NewPlate, Plate } from './schema.ts'

/** The fields of a plate to change; its prints as they shall be, or made from what they are. */
export type PlateChange = Omit<ChangedPlate, 'prints'> & {
  prints?: ChangedPrint[] | undefined | ((before: ChangedPrint[]) => ChangedPrint[])
}

/**
 * Keeps a plate with its prints, and a mark for the scoring.
 *
 * @param how `at` is where the prints stand in what was sent
 * @throws Problem 403 for another's printer, 422 (unknown supports, printer or resin, a retired one, a day in the future,
 *   how full it was where nobody says and it can't be worked out)
 */
export async function addPlate(
  db: Db,
  viewer: Viewer,
  { prints = [], ...plate }: NewPlate,
  { now = new Date(), at = inTheirList }: { now?: Date; at?: PrintPath } = {},
): Promise<Plate> {
  expectDay(plate.printedOn, now)
  const { crowding } = plate
  const filled = crowding === null ? await workedOutCrowding(db, viewer, { ...plate, prints }, { at }) : crowding
  const full = { crowding: filled, crowdingWorkedOut: crowding === null }
  const whole = { id: v7(), memberId: viewer.id, ...plate, ...full }
  const own = prints.map((print) => ({ id: v7(), ...print }))
  const { supports, createdAt, version, ...named } = await keepPlate(db, whole, own)
  const { name: printer } = ownPrinter(named.printer, viewer)
  const resin = plate.resinId === null ? null : usable(named.resin).name
  const withFiles = supported(own, supports, at)
  if (!createdAt) throw new Error('a plate was not kept, though nothing is wrong with it')
  return shownPlate({ ...whole, createdAt, version, member: viewer.name, printer, resin, prints: withFiles }, viewer)
}

export const whoChangesPlates = 'Only whoever made a report can change it.'
const whoRemovesPlates = 'Only whoever made a report, or a steward, can remove it.'

/**
 * Changes a plate of one's own; one that was not told yet is told with its prints.
 *
 * @throws Problem 403, 404, 412, 422 as `addPlate`; 409 when it was moved to another printer at the same moment
 */
export async function changePlate(
  db: Db,
  viewer: Viewer,
  id: string,
  { prints, crowding, ...columns }: PlateChange,
  { wanted, now = new Date(), at = inTheirList }: { wanted: Wanted; now?: Date; at?: PrintPath },
): Promise<Plate> {
  if (columns.printedOn !== undefined) expectDay(columns.printedOn, now)
  return inTransaction(db, async (trx) => {
    const before = await plateToChange(trx, viewer, id, columns)
    expectVersion(before.version, wanted)
    if (columns.resinId) await holdOwnResin(trx, viewer, columns.resinId, columns.resinId === before.resinId)
    const after = typeof prints === 'function' ? prints(await printsOf(trx, id)) : prints
    const full = await fullAfter(trx, viewer, before, { printerId: columns.printerId, crowding, prints: after }, at)
    const period = await periodAfter(trx, before, columns)
    await changeRow(trx, 'plate', id, { ...columns, ...full, ...period, ...(after && { told: true }) })
    if (after) {
      await withSupports(trx, after, at)
      await replacePrints(trx, id, after)
    }
    // A remark teaches nothing, nor what was in the vat, nor a plate without prints.
    const { remark: _remark, resinId: _resin, ...telling } = columns
    const teaches = before.told && Object.values({ ...telling, ...full }).some((value) => value !== undefined)
    if (after || teaches) await markForFit(trx, id)
    return readPlate(trx, viewer, id)
  })
}

/** Removes a plate with its prints: whoever made it, or a steward. @throws Problem 403, 404, 412 */
export async function removePlate(db: Db, viewer: Viewer, id: string, wanted?: Wanted): Promise<void> {
  await inTransaction(db, async (trx) => {
    const before = await plateToRemoveFrom(trx, viewer, id, wanted)
    await trx.deleteFrom('plate').where('id', '=', id).execute()
    if (before.told) await markForFit(trx, id)
  })
}

/** Removes one print, and the plate with its last: as `removePlate`. */
export async function removePrint(db: Db, viewer: Viewer, id: string, wanted?: Wanted): Promise<void> {
  await inTransaction(db, async (trx) => {
    const plateId = await plateOfPrint(trx, id)
    await plateToRemoveFrom(trx, viewer, plateId, wanted)
    const gone = await trx.deleteFrom('print').where('id', '=', id).executeTakeFirst()
    if (gone.numDeletedRows === 0n) throw notFound('report')
    const left = await trx.selectFrom('print').select('id').where('plateId', '=', plateId).executeTakeFirst()
    if (left) await changeRow(trx, 'plate', plateId, {})
    else await trx.deleteFrom('plate').where('id', '=', plateId).execute()
    await markForFit(trx, plateId)
  })
}

/** @throws Problem 404 */
export async function plateOfPrint(db: Db, printId: string): Promise<string> {
  const row = await rowOf(db, 'print', printId, ['plateId'], () => notFound('report'))
  return row.plateId
}

/** @throws Problem 422 for a day that has not come or is out of all reason */
function expectDay(printedOn: string, now: Date): void {
  if (printedOn > latestToday(now)) throw invalid('/printedOn', 'This day is in the future.')
  if (printedOn < earliestDay) throw invalid('/printedOn', 'Nothing before 2000, please: check the year.')
}

type Moved = Pick<ChangedPlate, 'printerId' | 'printedOn'>

const isMoved = ({ printerId, printedOn }: Moved) => printerId !== undefined || printedOn !== undefined

/**
 * The plate, locked. The printer that it is to be counted to is held before: whoever notes upkeep takes the two in this
 * order as well, so nobody waits in turn.
 */
async function plateToChange(trx: Db, viewer: Viewer, id: string, change: Moved) {
  const seen = await rowOf(trx, 'plate', id, ['memberId', 'printerId'])
  if (seen.memberId !== viewer.id) throw forbidden(whoChangesPlates)
  const printerId = change.printerId ?? seen.printerId
  if (isMoved(change)) await holdOwnPrinter(trx, viewer, printerId, printerId === seen.printerId)
  const plate = await lockedPlate(trx, id)
  if (plate.printerId !== seen.printerId) throw conflict('It has just been moved to another printer. Look at it again.')
  return plate
}

const lockedPlate = (trx: Db, id: string) => heldRow(trx, 'plate', id, plateColumns)

const plateColumns = [
  ...(['id', 'memberId', 'printerId', 'printedOn'] as const),
  ...(['resinId', 'told', 'crowdingWorkedOut', 'version'] as const),
] as const

async function plateToRemoveFrom(trx: Db, viewer: Viewer, id: string, wanted: Wanted) {
  const plate = await lockedPlate(trx, id)
  expectChange(viewer, { ownerId: plate.memberId, version: plate.version }, whoRemovesPlates, wanted)
  return plate
}

interface Refilled extends Pick<ChangedPlate, 'printerId' | 'crowding'> {
  prints: readonly ChangedPrint[] | undefined
}

/**
 * How full a changed plate is: as the change says, or worked out anew where that is asked for. What was worked out before
 * is so again when its prints or its printer are others now; where that is not possible, it stays.
 */
async function fullAfter(
  trx: Db,
  viewer: Viewer,
  before: Awaited<ReturnType<typeof lockedPlate>>,
  { printerId = before.printerId, crowding, prints }: Refilled,
  at: PrintPath,
): Promise<{ crowding?: Crowding; crowdingWorkedOut?: boolean }> {
  if (crowding) return { crowding, crowdingWorkedOut: false }
  const isAsked = crowding === null
  const isOther = prints !== undefined || printerId !== before.printerId
  if (!isAsked && !(before.crowdingWorkedOut && isOther)) return {}
  const covered = { printerId, prints: prints ?? (await printsOf(trx, before.id)) }
  const how = { at, mayBeRetired: printerId === before.printerId }
  try {
    return { crowding: await workedOutCrowding(trx, viewer, covered, how), crowdingWorkedOut: true }
  } catch (error) {
    if (isAsked || !(error instanceof Problem && error.errors.some(({ path }) => path === '/crowding'))) throw error
    return {}
  }
}

/** The upkeep period of a changed plate: the one it is in, unless its printer or its day are others now. */
async function periodAfter(trx: Db, before: { printerId: string; printedOn: string }, change: Moved) {
  const { printerId = before.printerId, printedOn = before.printedOn } = change
  if (printerId === before.printerId && printedOn === before.printedOn) return {}
  return { printerPeriodId: await periodOn(trx, printerId, printedOn) }
}
