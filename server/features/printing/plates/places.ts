import { sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'
import { often } from '../../../../db/often.ts'
import { forbidden, invalid, pointer } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { supportColumns } from './queries.ts'

/** Where a print stands in the body that told it: in its list, or alone. */
export type PrintPath = (index: number) => (string | number)[]
export const inTheirList: PrintPath = (index) => ['prints', index]

/**
 * A printer of the viewer's that is in use. It gets no other upkeep period until the transaction ends, so that a plate
 * is counted to the right one; reports on the same printer don't wait for each other.
 *
 * @param mayBeRetired the plate is on it already
 * @throws Problem 403 for another's, 422 (no such printer, a retired one)
 */
export async function holdOwnPrinter(trx: Db, viewer: Viewer, id: string, mayBeRetired = false) {
  const [printer] = await heldPrinter(trx, { id })
  return ownPrinter(printer, viewer, mayBeRetired)
}

/** @throws Problem as `holdOwnPrinter` */
export function ownPrinter<Row extends { ownerId: string; state: 'in use' | 'retired' }>(
  printer: Row | null | undefined,
  viewer: Viewer,
  mayBeRetired = false,
): Row {
  if (!printer) throw invalid('/printerId', 'There is no such printer.')
  if (printer.ownerId !== viewer.id)
    throw forbidden('You can only report prints on your own printers: ask this one’s owner to report it.')
  if (printer.state === 'retired' && !mayBeRetired)
    throw invalid('/printerId', 'This printer is retired. Choose another.')
  return printer
}

const heldPrinter = often((db, { id }: { id: string }) =>
  db.selectFrom('printer').select(['ownerId', 'state', 'name']).where('id', '=', id).forKeyShare(),
)

/** Prints with what their supports belong to. @throws Problem 422 for supports that are not there */
export async function withSupports<Print extends { supportSetId: string }>(
  db: Db,
  prints: readonly Print[],
  at: PrintPath,
) {
  if (prints.length === 0) return []
  const rows = await supports(db, { ids: prints.map(({ supportSetId }) => supportSetId) })
  return supported(prints, rows, at)
}

/** @param rows of `supportsById`. @throws Problem as `withSupports` */
export function supported<Print extends { supportSetId: string }, Row extends { supportSetId: string }>(
  prints: readonly Print[],
  rows: readonly Row[],
  at: PrintPath,
): (Print & Row)[] {
  return prints.map((print, index) => {
    const found = rows.find(({ supportSetId }) => supportSetId === print.supportSetId)
    if (!found) throw invalid(pointer([...at(index), 'supportSetId']), 'There are no such supports.')
    return { ...print, ...found }
  })
}

/**
 * What supports belong to, as a query. PostgreSQL takes a list that comes out of a subquery for as long whatever it holds:
 * else it would plan the statement anew for every report, since short lists are cheaper than those it would plan for.
 */
export const supportsById = (db: Db, ids: readonly string[]) =>
  db
    .selectFrom('supportSet')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
    .innerJoin('file', 'file.id', 'revision.fileId')
    .innerJoin('sculptor', 'sculptor.id', 'file.sculptorId')
    .select(['supportSet.id as supportSetId', ...supportColumns])
    .where('supportSet.id', '=', sql<string>`any(array(select unnest(${ids}::uuid[])))`)

const supports = often((db, { ids }: { ids: string[] }) => supportsById(db, ids))
