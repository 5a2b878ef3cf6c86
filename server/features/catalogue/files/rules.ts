import type { Role } from '../../../../db/tables.ts'
import { isSteward } from '../../../http/access.ts'
import { type Face, type FaceRow, sizesOf } from '../../../http/face.ts'
import { withoutName } from '../sculptors/without-name.ts'

export { sculptorColumns } from '../sculptors/columns.ts'

type Credit = 'named' | 'unnamed'

/** Whoever reads, as far as it matters here. */
export interface Reader {
  id: string
  role: Role
}

/** What the columns of a file's sculptor bring. */
export interface SculptorRow {
  sculptorId: string
  sculptorName: string
  sculptorCredit: Credit
  /** The member whose own sculptor of this name it is, and the credit that they typed; null for the group's. */
  sculptorTypedBy: string | null
  sculptorTypedAs: Credit | null
  /** Hosts of the links to their offers, where they asked not to be named. */
  sculptorHosts: string[] | null
  /** Whose words the file's title is. */
  titleBy: string | null
}

/** Whether the reader typed this name themself, to be named: for them it is as if nobody else had known it. */
export const isAsTyped = (
  row: Pick<SculptorRow, 'sculptorTypedBy' | 'sculptorTypedAs'>,
  reader: Pick<Reader, 'id'>,
): boolean => row.sculptorTypedBy === reader.id && row.sculptorTypedAs === 'named'

/** The sculptor of a file as the reader may see them: one who asked not to be named is neither named nor traceable by id. */
export function shownSculptor(row: SculptorRow, reader: Reader) {
  const { sculptorId: id, sculptorName: name, sculptorCredit: credit } = row
  if (credit === 'named' || isSteward(reader)) return { id, name, credit }
  return isAsTyped(row, reader) ? { id, name, credit: 'named' as const } : { id: null, name: null, credit }
}

const address = /\b(?:https?:\/\/|www\.)\S+/giu
const linkLeftOut = '(link left out)'

/** A host as it may be typed without anything before it, with whatever stands before and behind it in an address. */
const hostPattern = (host: string) =>
  new RegExp(
    `(?<![\\p{L}\\p{N}_.-])(?:[\\w-]+\\.)*${host.replace(/[\\^$.*+?()[\]{}|]/g, '\\$&')}(?![\\p{L}\\p{N}_-])(?:[:/?#]\\S*)?`,
    'giu',
  )

type Hidden = Pick<SculptorRow, 'sculptorName' | 'sculptorCredit' | 'sculptorHosts'>

/**
 * Words that a member wrote about a file (title, remark, licence, snag …) without what tells of a sculptor who asked not
 * to be named: their name and what in it is no ordinary word, web addresses, and the hosts of their links however they
 * are typed. Stewards read them as they are, and so does whoever wrote them: by one's own words left out one could find a
 * name by trying.
 *
 * @param by the member whose words they are; null where that is not known
 */
export function discreet(words: string, row: Hidden, reader: Reader, by: string | null): string {
  if (row.sculptorCredit === 'named' || isSteward(reader) || by === reader.id) return words
  const unlinked = (row.sculptorHosts ?? []).reduce(
    (left, host) => left.replace(hostPattern(host), linkLeftOut),
    words.replace(address, linkLeftOut),
  )
  return withoutName(unlinked, row.sculptorName)
}

/** A file's title as the reader may see it. */
export const shownTitle = (row: SculptorRow & { title: string }, reader: Reader): string =>
  discreet(row.title, row, reader, row.titleBy)

/** What is to be seen in a picture of a file, as the reader may read it; where nobody said, that it is one. */
export const shownAlt = (
  picture: { alt: string; memberId: string },
  file: SculptorRow & { title: string },
  reader: Reader,
): string => discreet(picture.alt, file, reader, picture.memberId) || `A print of ${shownTitle(file, reader)}`

/** A file's face (`faceOf`) as the reader may see it. */
export const shownFace = (face: FaceRow | null, file: SculptorRow & { title: string }, reader: Reader): Face | null =>
  face && { ...sizesOf(face), alt: shownAlt(face, file, reader) }
