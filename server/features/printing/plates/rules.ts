import type { Seen } from '../../../../db/tables.ts'
import { wrongSum } from '../../../../web/parts/counts-words.ts'

/** More than that is no single plate. */
export const mostCopies = 500
/** So many different prints on one plate at most. */
export const mostPrints = 20

type Path = (string | number)[]
/** What is wrong, as the place and the words. */
export type Wrong = [path: Path, message: string]

/** How the copies of one print came out. */
export interface Counts {
  tried: number
  good: number
  mended: number
  mendedMinutes: number | null
  failures: readonly { seen: Seen; copies: number }[]
}

/** What is wrong with the counts of one print; nothing when they add up. */
export function wrongCounts({ tried, good, mended, mendedMinutes, failures }: Counts): Wrong | null {
  const twice = failures.findIndex(({ seen }, index) => failures.findIndex((other) => other.seen === seen) !== index)
  if (twice >= 0) return [['failures', twice, 'seen'], 'This is listed twice; add the copies up.']
  const sum = failures.reduce((copies, failure) => copies + failure.copies, 0)
  const wrong = wrongSum(good, sum, tried)
  if (wrong) return [['failures'], wrong]
  if (mended > sum) return [['mended'], `Only ${sum} failed, so ${mended} cannot have been mended.`]
  if (mended === 0 && mendedMinutes !== null) return [['mendedMinutes'], 'None was mended: leave the time empty.']
  return null
}

/** What is wrong with a plate's prints as a whole; nothing when they go together. */
export function wrongPrints(prints: readonly { supportSetId: string; tried: number }[]): Wrong | null {
  const ids = prints.map(({ supportSetId }) => supportSetId)
  const twice = ids.findIndex((id, index) => ids.indexOf(id) !== index)
  if (twice >= 0) return [[twice, 'supportSetId'], 'These supports are listed twice; add the copies up.']
  const copies = prints.reduce((sum, { tried }) => sum + tried, 0)
  return copies > mostCopies ? [[], `At most ${mostCopies} copies on a plate.`] : null
}
