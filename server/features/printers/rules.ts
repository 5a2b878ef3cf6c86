import { mean, type Shape } from '../../scoring/beta.ts'
import { periodIsWorse } from '../../scoring/verdict.ts'
import type { Look } from './schema.ts'

/** One upkeep period as far as the question "when to look" cares. */
export interface PeriodEvidence {
  shape: Shape
  tried: number
}

/** What is known when somebody asks whether a printer wants a look. */
export interface LookQuestion {
  /** newest first; the first is the present one */
  periods: readonly PeriodEvidence[]
  /** the group's machine in good order */
  goodMachine: Shape
  /** whole days since the last upkeep; null when none was ever noted */
  daysSinceUpkeep: number | null
}

/** A chance above this is worth acting on. The same as in the verdict of a failed report (common practice, no source). */
const likely = 0.8
/** Film, level and vat want a look every few months of regular printing (common practice, no source). */
const longDays = 120
/** What one copy tells of a machine is soon forgotten: under so many tried copies nothing is said (no source). */
const fewCopies = 5

/**
 * Whether film, level and vat want a look: by the printer's own evidence first, then by the calendar.
 *
 * @returns the reason with its numbers in words
 */
export function whenToLook({ periods, goodMachine, daysSinceUpkeep }: LookQuestion): Look {
  const [now, ...earlier] = periods
  if (now && now.tried >= fewCopies) {
    const before = earlier.filter(({ tried }) => tried >= fewCopies)
    const worse = averageOf(before.map(({ shape }) => periodIsWorse(now.shape, shape)))
    if (worse > likely) return due('worse than before', worseWords(now.shape, before))
    if (periodIsWorse(now.shape, goodMachine) > likely)
      return due('below the others', belowWords(now.shape, goodMachine))
  }
  if (daysSinceUpkeep !== null && daysSinceUpkeep > longDays) return due('long ago', longAgoWords(daysSinceUpkeep))
  return { due: false, because: 'nothing speaks for it', words: fineWords(now, daysSinceUpkeep) }
}

const due = (because: Look['because'], words: string): Look => ({ due: true, because, words })

const averageOf = (numbers: readonly number[]) =>
  numbers.length === 0 ? 0 : numbers.reduce((sum, number) => sum + number, 0) / numbers.length

/** "91 of 100": a share as a whole number of 100, never all or none of them while it is only likely. */
export const ofHundred = (share: number) => `${Math.min(99, Math.max(1, Math.round(share * 100)))} of 100`

const worseWords = (now: Shape, before: readonly PeriodEvidence[]) =>
  `Look at the film and the level, and filter the vat, before the next plate: since the last upkeep this printer brings ${ofHundred(mean(now))} copies through, before that it was ${ofHundred(averageOf(before.map(({ shape }) => mean(shape))))}.`

const belowWords = (now: Shape, goodMachine: Shape) =>
  `Look at the film and the level, and filter the vat, before the next plate: this printer brings ${ofHundred(mean(now))} copies through, the group's printer in the middle ${ofHundred(mean(goodMachine))}.`

const longAgoWords = (days: number) =>
  `Nothing was done to it for ${Math.round(days / 30)} months. Its prints don't complain yet, but film, level and vat want a look every few months.`

function fineWords(now: PeriodEvidence | undefined, daysSinceUpkeep: number | null): string {
  const tried = now?.tried ?? 0
  if (tried < fewCopies)
    return `Too few prints ${daysSinceUpkeep === null ? 'were reported' : 'since the last upkeep'} to judge it by; report what comes off it, good plates too.`
  return `Nothing speaks for a look: of the copies it printed ${daysSinceUpkeep === null ? 'so far' : 'since the last upkeep'}, the printer brings ${ofHundred(mean(now?.shape ?? [1, 1]))} through.`
}
