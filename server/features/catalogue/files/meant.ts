import { z } from 'zod'
import { sculptorWords } from '../../../../web/pages/Files.tsx'
import type { Suggestion } from '../../../../web/parts/suggest-field.tsx'
import type { File } from './schema.ts'

/** Something that a member may mean, with all that it is called. */
export type Named = Suggestion & { names: string[] }

/** A thing that a member named in a form: by choosing it from a list, or by typing what it is called. */
export interface Meant {
  /** Undefined while it is not clear, or nothing was typed. */
  id: string | undefined
  /** What it may be instead. */
  found: Named[]
  /** What has to be answered first. */
  question: string | undefined
}

export interface Typed {
  typed: string
  /** The id that came along: chosen from the list, or left from an earlier text. */
  id: string
  /** The text that the page was made for; an id that came along with it still belongs to it. */
  madeFor: string
}

const uuid = z.uuid()

/** Whether this is one of its names, apart from accents and capitals. */
export const isCalled = ({ names }: Pick<Named, 'names'>, typed: string) =>
  names.some((name) => plain(name) === plain(typed))

const plain = (words: string) => words.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase().trim()

/**
 * Finds what is meant. Without scripts an id stays in the form when the text beside it is changed: it only counts while
 * the text is still the one it was found for, or is its name.
 *
 * @param look the nearest to some words, the nearest first
 */
export async function whatIsMeant(
  { typed, id, madeFor }: Typed,
  look: (words: string) => Promise<Named[]>,
  nothing: string,
): Promise<Meant> {
  const clear = { found: [], question: undefined }
  if (typed === '') return { id: undefined, ...clear }
  if (typed === madeFor && uuid.safeParse(id).success) return { id, ...clear }
  const found = await look(typed)
  const called = found.filter((one) => isCalled(one, typed))
  const only = called.find((one) => one.id === id) ?? (called.length === 1 ? called[0] : undefined)
  if (only) return { id: only.id, ...clear }
  return {
    id: undefined,
    found,
    question: found.length > 0 ? 'Which of these do you mean? If none, leave this empty.' : nothing,
  }
}

/** A file as a type-ahead proposes it. */
export const fileSuggestion = (file: File) => ({
  id: file.id,
  label: file.title,
  names: [file.title],
  note: [sculptorWords(file.sculptor), file.scaleMm && `${file.scaleMm} mm`].filter(Boolean).join(', '),
  href: `/files/${file.id}`,
})
