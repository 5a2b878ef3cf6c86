import { type FieldError, Problem } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { shownSculptor, shownTitle } from '../../catalogue/files/rules.ts'
import { stopsPrint } from '../../requests/answers/rules.ts'
import { filesFor, type RosterFacts } from './facts.ts'
import type { AskedPlan } from './schema.ts'

/**
 * A file that an entry has to be printed from and that something else forbids can't be planned.
 *
 * @throws Problem 422 that names each
 */
export function expectNoContradiction(facts: RosterFacts, asked: AskedPlan, viewer: Viewer): void {
  const pins = Object.entries(asked.pins).flatMap(([entryId, fileId]) => {
    const message = whatForbids(facts, asked, viewer, entryId, fileId)
    return message ? [{ path: `/pins/${entryId}`, message }] : []
  })
  const strangers = asked.split.filter((id) => !facts.entries.some((entry) => entry.id === id))
  const splits = strangers.map(
    (): FieldError => ({ path: '/split', message: 'One of these is not an entry of this roster.' }),
  )
  const errors = [...pins, ...splits.slice(0, 1)]
  const [first] = errors
  if (first) throw new Problem(422, errors.map(({ message }) => message).join(' '), { errors })
}

function whatForbids(
  facts: RosterFacts,
  { exclude, avoidBlocked }: AskedPlan,
  viewer: Viewer,
  entryId: string,
  fileId: string,
): string | undefined {
  const entry = facts.entries.find(({ id }) => id === entryId)
  if (!entry) return 'This is not an entry of this roster.'
  const file = filesFor(facts, entry).find(({ id }) => id === fileId)
  if (!file) return `${entry.words} is to be printed from a file that is not known to stand in for it.`
  const pin = `${entry.words} is to be printed from “${shownTitle(file, viewer)}”`
  if (exclude.fileIds.includes(fileId)) return `${pin}, but that file is excluded.`
  if (exclude.sculptorIds.includes(shownSculptor(file, viewer).id ?? '')) return `${pin}, but its sculptor is excluded.`
  if (avoidBlocked && file.snags.some(stopsPrint))
    return `${pin}, but an open snag stops its print, and such files are avoided.`
  return undefined
}
