import { discreet, type Reader, type SculptorRow } from '../files/rules.ts'

/** A row with words of its author's: who that is, and which fields somebody else has written since. */
interface Worded {
  createdBy: string
  othersWords: readonly string[]
}

/** Whose words a field has: its author's, or null where somebody else changed them. */
export const writerOf = ({ createdBy, othersWords }: Worded, field: string): string | null =>
  othersWords.includes(field) ? null : createdBy

/** One of a file's lists of words, as the reader may see it. */
export const shownWords = <Field extends string>(
  file: SculptorRow & Worded & Record<Field, string[]>,
  field: Field,
  reader: Reader,
): string[] => file[field].map((words) => discreet(words, file, reader, writerOf(file, field)))

/**
 * Fields that are not in their author's words, after a change.
 *
 * @param fields those that hold words
 * @param change what is written now; a field left out stays as it is
 */
export function othersWordsAfter(
  { createdBy, othersWords }: Worded,
  fields: readonly string[],
  change: object,
  changedBy: { id: string },
): string[] {
  const written = fields.filter((field) => (change as Record<string, unknown>)[field] !== undefined)
  const kept = othersWords.filter((field) => !written.includes(field))
  return changedBy.id === createdBy ? kept : [...kept, ...written]
}
