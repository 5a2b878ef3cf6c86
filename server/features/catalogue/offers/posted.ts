import { z } from 'zod'
import type { Db } from '../../../../db/connect.ts'
import type { Suggestion } from '../../../../web/parts/suggest-field.tsx'
import type { Viewer } from '../../../http/session.ts'
import { fileSuggestion, type Named, whatIsMeant } from '../files/meant.ts'
import { listFiles } from '../files/queries.ts'

/**
 * A form that takes an offer along without one: its state is always ticked and its currency always chosen, so without
 * any other word there is none.
 *
 * @param prefix of the offer's fields
 * @param usualKind the kind that is chosen before anybody chooses, if there is one
 */
export function withoutIdleOffer(body: Record<string, unknown>, prefix = 'offer.', usualKind?: string) {
  const idle = new Set([`${prefix}state`, `${prefix}price.currency`])
  const isIdle = ([name, value]: [string, unknown]) =>
    !name.startsWith(prefix) || !value || idle.has(name) || (name === `${prefix}kind` && value === usualKind)
  if (!Object.entries(body).every(isIdle)) return body
  return Object.fromEntries(Object.entries(body).filter(([name]) => !name.startsWith(prefix)))
}

/** Which further files an offer opens, by their titles. */
export interface Opened {
  /** The form's fields without those of its own, and with the files that are clear among `fileIds`. */
  body: Record<string, unknown>
  /** Files to choose from where a line is not clear. */
  found: Suggestion[]
  /** Those that a line names, by id: they are ticked when the form comes back. */
  clear: Suggestion[]
  /** The lines that are not clear yet. */
  left: string
  /** To be answered first. */
  question: string | undefined
}

/** So many lines are looked for at a time, each by a search of its own. */
const mostLines = 30

const ownFields = z.object({
  titles: z.string().max(6000).default('').catch(''),
  offered: z.string().default('').catch(''),
})

/**
 * Reads titles, one a line. A line that names one file is clear; else the nearest are offered, of which several may be
 * ticked: so one line that names a sculptor brings their files. Once any of what was offered for it is ticked, a line is
 * answered.
 */
export async function filesOpened(db: Db, viewer: Viewer, posted: unknown): Promise<Opened> {
  const { titles: _, offered: __, ...body } = (posted ?? {}) as Record<string, unknown>
  const { titles, offered } = ownFields.parse(posted ?? {})
  const ticked = [body.fileIds ?? ''].flat().map(String).filter(Boolean)
  const answers = new Set(offered.split(' ').filter((id) => ticked.includes(id)))
  const lines = [...new Set(titles.split(/\r?\n/).map((line) => line.trim()))].filter(Boolean)
  const opened: Opened = { body, found: [], clear: [], left: '', question: undefined }
  const left: string[] = []
  if (lines.length > mostLines) return { ...opened, left: titles, question: `At most ${mostLines} lines at a time.` }
  for (const line of lines) {
    const { only, near } = await filesCalled(db, viewer, line)
    if (only) opened.clear.push(only)
    else if (!near.some(({ id }) => answers.has(id))) {
      left.push(line)
      opened.found.push(...near)
      opened.question ??= near.length > 0 ? `Which files does “${line}” mean? Tick them below.` : unknown(line)
    }
  }
  const ids = [...new Set([...ticked, ...opened.clear.map(({ id }) => id)])]
  return { ...opened, body: ids.length > 0 ? { ...body, fileIds: ids } : body, left: left.join('\n') }
}

const unknown = (line: string) => `The group knows no file like “${line}”. Take the line out, or add the file first.`

async function filesCalled(db: Db, viewer: Viewer, line: string) {
  let near: Named[] = []
  const look = async (words: string) => {
    const { items } = await listFiles(db, viewer, { limit: 12, q: words.slice(0, 200) })
    near = items.map(fileSuggestion)
    return near
  }
  const { id } = await whatIsMeant({ typed: line, id: '', madeFor: '' }, look, '')
  return { only: near.find((file) => file.id === id), near }
}
