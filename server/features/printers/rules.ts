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
  /** the latest plates since then: how many failed, and what share of their failed copies is the machine's to answer for */
  lately: { plates: number; failedPlates: number; machineShare: number }
  /** the machine over the earlier and the later half of its plates since then; so many plates are in each */
  halves: { plates: number; earlier: Shape; later: Shape }
}

/** A chance above this is worth acting on. The same as in the verdict of a failed report (common practice, no source). */
const likely = 0.8
/** A share of the blame above this is worth acting on; the same as in the verdict (common practice, no source). */
const mostOfTheBlame = 0.6
/** One failed plate may be chance, two of the last five hardly (common practice, no source). */
const fewFailedPlates = 2
/**
 * A film wears with every plate, which the mean of a whole period hides; so its later plates are held against its earlier
 * ones. Two halves of the same kind look this unlike in one case of twenty, which is as often as a look for nothing is
 * bearable (common practice, no source; the false alarms are counted in the tests).
 */
const surelyWorse = 0.95
/** Less than that is no half. */
const fewPlates = 5
/** Film, level and vat want a look every few months of regular printing (common practice, no source). */
const longDays = 120
/** What one copy tells of a machine is soon forgotten: under so many tried copies nothing is said (no source). */
const fewCopies = 5

/**
 * Whether film, level and vat want a look: by the printer's own evidence first, then by the calendar.
 *
 * @returns the reason with its numbers in words
 */
export function whenToLook(question: LookQuestion): Look {
  const { periods, goodMachine, daysSinceUpkeep, lately, halves } = question
  const [now, ...earlier] = periods
  if (lately.failedPlates >= fewFailedPlates && lately.machineShare > mostOfTheBlame)
    return due('most of the blame', blameWords(lately))
  if (now && now.tried >= fewCopies) {
    const before = earlier.filter(({ tried }) => tried >= fewCopies)
    const worse = averageOf(before.map(({ shape }) => periodIsWorse(now.shape, shape)))
    if (worse > likely) return due('worse than before', worseWords(now.shape, before))
    if (halves.plates >= fewPlates && periodIsWorse(halves.later, halves.earlier) > surelyWorse)
      return due('getting worse', gettingWorseWords(halves, daysSinceUpkeep))
    if (periodIsWorse(now.shape, goodMachine) > likely)
      return due('below the others', belowWords(now.shape, goodMachine))
  }
  // A film wears by printing, not by the calendar alone.
  if (now && now.tried > 0 && daysSinceUpkeep !== null && daysSinceUpkeep > longDays)
    return due('long ago', longAgoWords(daysSinceUpkeep))
  return { due: false, because: 'nothing speaks for it', words: fineWords(now, daysSinceUpkeep) }
}

const due = (because: Look['because'], words: string): Look => ({ due: true, because, words })

const averageOf = (numbers: readonly number[]) =>
  numbers.length === 0 ? 0 : numbers.reduce((sum, number) => sum + number, 0) / numbers.length

/** "91 of 100": a share as a whole number of 100, never all or none of them while it is only likely. */
export const ofHundred = (share: number) => `${Math.min(99, Math.max(1, Math.round(share * 100)))} of 100`

const lookFirst = 'Look at the film and the level, and filter the vat, before the next plate'

const blameWords = ({ plates, failedPlates, machineShare }: LookQuestion['lately']) =>
  `${lookFirst}: ${failedPlates} of its last ${plates} plates had failures, and ${ofHundred(machineShare)} of those copies are most likely the machine's fault.`

const gettingWorseWords = ({ plates, earlier, later }: LookQuestion['halves'], daysSinceUpkeep: number | null) =>
  `${lookFirst}: it is getting worse${daysSinceUpkeep === null ? '' : ' since its last upkeep'}. Over its latest ${plates} plates it brought ${ofHundred(mean(later))} copies through, over the ${plates} before them ${ofHundred(mean(earlier))}.`

const worseWords = (now: Shape, before: readonly PeriodEvidence[]) =>
  `${lookFirst}: since the last upkeep this printer brings ${ofHundred(mean(now))} copies through, before that it was ${ofHundred(averageOf(before.map(({ shape }) => mean(shape))))}.`

const belowWords = (now: Shape, goodMachine: Shape) =>
  `${lookFirst}: this printer brings ${ofHundred(mean(now))} copies through, the group's printer in the middle ${ofHundred(mean(goodMachine))}.`

const longAgoWords = (days: number) =>
  `Nothing was done to it for ${Math.round(days / 30)} months. Nothing in its prints asks for a look, but film, level and vat want a look every few months (a rule of the trade, not worked out from your prints).`

function fineWords(now: PeriodEvidence | undefined, daysSinceUpkeep: number | null): string {
  const tried = now?.tried ?? 0
  if (tried === 0 && daysSinceUpkeep !== null) return 'Nothing was reported since the last upkeep to judge it by.'
  if (tried < fewCopies)
    return `Too few prints ${daysSinceUpkeep === null ? 'were reported' : 'since the last upkeep'} to judge it by; report what comes off it, good plates too.`
  return `No reason to look yet: of the copies it printed ${daysSinceUpkeep === null ? 'so far' : 'since the last upkeep'}, the printer brings ${ofHundred(mean(now?.shape ?? [1, 1]))} through.`
}
