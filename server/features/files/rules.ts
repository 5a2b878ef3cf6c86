import type { Role } from '../../../db/tables.ts'
import { isSteward } from '../../http/access.ts'
import { withoutName } from './without-name.ts'

/** Columns of a file's sculptor, as every query that shows files selects them: `.select([...sculptorColumns])`. */
export const sculptorColumns = [
  'sculptor.id as sculptorId',
  'sculptor.name as sculptorName',
  'sculptor.credit as sculptorCredit',
] as const

/** What those columns bring. */
export interface SculptorRow {
  sculptorId: string
  sculptorName: string
  sculptorCredit: 'named' | 'unnamed'
}

/** Whether the viewer has to be kept from the name and the links of this sculptor. */
export const isHidden = (row: Pick<SculptorRow, 'sculptorCredit'>, viewer: { role: Role }) =>
  row.sculptorCredit === 'unnamed' && !isSteward(viewer)

/** The sculptor of a file as the viewer may see them: one who asked not to be named is neither named nor traceable by id. */
export const shownSculptor = (row: SculptorRow, viewer: { role: Role }) =>
  isHidden(row, viewer)
    ? { id: null, name: null, credit: row.sculptorCredit }
    : { id: row.sculptorId, name: row.sculptorName, credit: row.sculptorCredit }

const address = /\b(?:https?:\/\/|www\.)\S+/giu

/**
 * Words that a member wrote about a file (title, remark, licence, snag …) without the name of a sculptor who asked not
 * to be named and without web addresses; stewards read them as they are.
 */
export function discreet(words: string, row: SculptorRow, viewer: { role: Role }): string {
  if (!isHidden(row, viewer)) return words
  return withoutName(words.replace(address, '(link left out)'), row.sculptorName)
}
