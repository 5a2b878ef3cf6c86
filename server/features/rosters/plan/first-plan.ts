import type { Db } from '../../../../db/connect.ts'
import { type FieldError, Problem } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { firstAnswer } from '../../../planning/start-plan.ts'
import { shownSculptor, shownTitle } from '../../catalogue/files/rules.ts'
import { stopsPrint } from '../../requests/answers/rules.ts'
import { draw } from './draw.ts'
import { filesFor, type RosterFacts, rosterFacts } from './facts.ts'
import { expectPlannable } from './limits.ts'
import { naiveOf } from './outcome.ts'
import type { AskedPlan } from './schema.ts'

/**
 * Works out what a plan is answered with, and stores nothing.
 *
 * @param earlier offers that the plan before went by
 * @throws Problem 422 for an empty roster, one that leaves too much to choose from, and for what contradicts itself
 */
export async function firstPlan(
  db: Db,
  viewer: Viewer,
  rosterId: string,
  asked: AskedPlan,
  earlier: readonly string[],
) {
  const facts = await rosterFacts(db, viewer, rosterId)
  if (facts.entries.length === 0) throw new Problem(422, 'The roster is empty: paste a list or add an entry first.')
  expectPlannable(facts.open.reduce((sum, entry) => sum + filesFor(facts, entry).length, 0))
  expectNoContradiction(facts, asked, viewer)
  const drawn = await draw(facts, asked, earlier)
  const { greedy, naive } = await firstAnswer(drawn.instance)
  return { drawn, facts, greedy, naive: naiveOf(naive), timeLimitS: asked.timeLimitS }
}

/** The greedy plan of a roster, and what a better one is solved from. */
export type FirstPlan = Awaited<ReturnType<typeof firstPlan>>

/**
 * A file that an entry has to be printed from and that something else forbids can't be planned.
 *
 * @throws Problem 422 that names each
 */
function expectNoContradiction(facts: RosterFacts, asked: AskedPlan, viewer: Viewer): void {
  const pins = Object.entries(asked.pins).flatMap(([entryId, fileId]) => {
    const message = whatForbids(facts, asked, viewer, entryId, fileId)
    return message ? [{ path: `/pins/${entryId}`, message }] : []
  })
  const strangers = asked.split.filter((id) => !facts.entries.some((entry) => entry.id === id))
  const splits = strangers.map(
    (): FieldError => ({ path: '/split', message: 'One of these entries is not in this roster.' }),
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
  if (!entry) return 'This entry is not in this roster.'
  const file = filesFor(facts, entry).find(({ id }) => id === fileId)
  if (!file) return `${entry.words} is to be printed from a file that is not known to stand in for it.`
  const pin = `${entry.words} is to be printed from “${shownTitle(file, viewer)}”`
  if (exclude.fileIds.includes(fileId)) return `${pin}, but that file is excluded.`
  if (exclude.sculptorIds.includes(shownSculptor(file, viewer).id ?? '')) return `${pin}, but its sculptor is excluded.`
  if (avoidBlocked && file.snags.some(stopsPrint))
    return `${pin}, but an open snag stops its print, and such files are avoided.`
  return undefined
}
