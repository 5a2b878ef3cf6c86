import type { Role } from '../../../db/tables.ts'
import { isSteward } from '../../http/access.ts'
import { withoutName } from './without-name.ts'

export { sculptorColumns } from './sculptor-columns.ts'

/** What the columns of a file's sculptor bring. */
export interface SculptorRow {
  sculptorId: string
  sculptorName: string
  sculptorCredit: 'named' | 'unnamed'
  /** Of the links to what they have on offer, where they asked not to be named. */
  sculptorHosts: string[] | null
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
const linkLeftOut = '(link left out)'

/** A host as it may be typed without anything before it, with whatever stands before and behind it in an address. */
const hostPattern = (host: string) =>
  new RegExp(
    `(?<![\\p{L}\\p{N}_.-])(?:[\\w-]+\\.)*${host.replace(/[\\^$.*+?()[\]{}|]/g, '\\$&')}(?![\\p{L}\\p{N}_-])(?:[:/?#]\\S*)?`,
    'giu',
  )

/**
 * Words that a member wrote about a file (title, remark, licence, snag …) without what tells of a sculptor who asked not
 * to be named: their name and what in it is no ordinary word, web addresses, and the hosts of their links however they
 * are typed. Stewards read them as they are.
 */
export function discreet(words: string, row: SculptorRow, viewer: { role: Role }): string {
  if (!isHidden(row, viewer)) return words
  const unlinked = (row.sculptorHosts ?? []).reduce(
    (left, host) => left.replace(hostPattern(host), linkLeftOut),
    words.replace(address, linkLeftOut),
  )
  return withoutName(unlinked, row.sculptorName)
}
