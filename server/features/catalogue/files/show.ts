import { sculptorWords } from '../../../../web/pages/Files.tsx'
import type { File } from './schema.ts'

/** A file as a type-ahead proposes it. */
export const fileSuggestion = (file: File) => ({
  id: file.id,
  label: file.title,
  note: [sculptorWords(file.sculptor), file.scaleMm && `${file.scaleMm} mm`].filter(Boolean).join(', '),
  href: `/files/${file.id}`,
})
