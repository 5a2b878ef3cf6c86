import { sculptorWords } from '../../../../web/pages/Files.tsx'
import type { File } from './schema.ts'

/** The page's own address for the rest of its list. */
export function nextPage(url: string, next: string): string {
  const address = new URL(url, 'http://page')
  address.searchParams.set('after', next)
  return `${address.pathname}${address.search}`
}

/** A file as a type-ahead proposes it. */
export const fileSuggestion = (file: File) => ({
  id: file.id,
  label: file.title,
  note: [sculptorWords(file.sculptor), file.scaleMm && `${file.scaleMm} mm`].filter(Boolean).join(', '),
  href: `/files/${file.id}`,
})
