import { sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'
import { often } from '../../../../db/often.ts'
import type { Crowding } from '../../../../db/tables.ts'
import { baseOf } from '../../../http/base.ts'
import { invalid } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { type Foot, filledPlate, footOf } from '../../../planning/plate.ts'
import { shownTitle } from '../../catalogue/files/rules.ts'
import { footPrintOf } from '../../catalogue/measures/drawn.ts'
import { ownPrinter, type PrintPath, supported, supportsById } from './places.ts'

/** A plate as far as it tells how full it is. */
interface Covered {
  printerId: string
  prints: readonly { supportSetId: string; tried: number }[]
}

interface How {
  /** where the prints stand in what was sent */
  at: PrintPath
  /** the plate is on that printer already */
  mayBeRetired?: boolean
}

/**
 * How full a plate is by what all of its copies cover together.
 *
 * @throws Problem 422 where nobody knows what a copy covers, or so many do not fit; 403, 422 for a printer or supports that
 *   may not be named
 */
export async function workedOutCrowding(
  db: Db,
  viewer: Viewer,
  { printerId, prints }: Covered,
  { at, mayBeRetired = false }: How,
): Promise<Crowding> {
  const [row] = await plateWith(db, { id: printerId })
  const printer = ownPrinter(row, viewer, mayBeRetired)
  const rows = await coveredBy(db, { ids: prints.map(({ supportSetId }) => supportSetId) })
  const feet = supported(prints, rows, at).flatMap((print) => {
    const foot = footOf(print.footPrint, baseOf(print))
    if (!foot) throw untold(`Nobody has noted what a copy of ${shownTitle(print, viewer)} covers.`)
    return Array.from({ length: print.tried }, () => foot)
  })
  if (feet.length === 0) throw untold('Nobody knows yet what was on it.')
  const filled = filledPlate(feet, printer)
  if (!filled)
    throw untold(
      `Going by what is known of the copies, they do not fit on ${printer.name}.`,
      'Check how many there were, or say how full the plate was.',
    )
  return filled.crowding
}

const untold = (why: string, next = 'Say how full the plate was.') => invalid('/crowding', `${why} ${next}`)

const plateWith = often((db, { id }: { id: string }) =>
  db.selectFrom('printer').select(['ownerId', 'state', 'name', 'plateWidthMm', 'plateDepthMm']).where('id', '=', id),
)

const coveredBy = often((db, { ids }: { ids: string[] }) =>
  supportsById(db, ids).select(['baseShape', 'baseWidthMm', 'baseLengthMm', footPrintOf().as('footPrint')]),
)

/** What a copy of a file covers, and how that is known. */
export interface KnownFoot {
  foot: Foot
  /** else it is the base that somebody noted */
  isMeasured: boolean
}

/** What a copy of each of these files covers, as far as that is known. */
export async function feetOf(db: Db, fileIds: readonly string[]): Promise<Map<string, KnownFoot>> {
  if (fileIds.length === 0) return new Map()
  const rows = await feetOfFiles(db, { fileIds: [...fileIds] })
  return new Map(
    rows.flatMap((row) => {
      const foot = footOf(row.footPrint, baseOf(row))
      return foot ? [[row.id, { foot, isMeasured: row.footPrint !== null }] as const] : []
    }),
  )
}

const feetOfFiles = often((db, { fileIds }: { fileIds: string[] }) =>
  db
    .selectFrom('file')
    .select(['id', 'baseShape', 'baseWidthMm', 'baseLengthMm', footPrintOf().as('footPrint')])
    .where('id', '=', sql<string>`any(${fileIds}::uuid[])`),
)
