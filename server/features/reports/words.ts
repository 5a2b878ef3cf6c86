import type { Crowding } from '../../../db/tables.ts'
import type { Advice, SetEvidence } from '../../scoring/verdict.ts'
import { ofHundred } from '../printers/rules.ts'

/** What is known around a failed report, to give the reason with its numbers. */
export interface Reasons {
  /** copies on this plate */
  tried: number
  /** of at least one failed copy somebody saw what was wrong */
  somethingSeen: boolean
  /** there is a later revision with supports of this kind */
  hasNewerRevision: boolean
  /** the printer had upkeep after this plate */
  upkeepSince: boolean
  /** the last plates on the same printer between the same upkeeps, this one included */
  lately: { plates: number; failedPlates: number; failedFiles: number }
  /** how the files that failed there came out on other printers */
  failedFilesElsewhere: Counts
  /** how this file with these supports came out on other printers */
  fileElsewhere: Counts
  /** copies of this file with these supports, by printer between two upkeeps, and what was seen on the failed ones */
  setEvidence: SetEvidence
  crowding: Crowding
  /** mean success of a plate by crowding: the chance that the crowding harms no copy */
  plates: Record<Crowding, number>
}

type Counts = { tried: number; good: number }

const crowdingWords: Record<Crowding, string> = {
  loose: 'half-empty plates',
  normal: 'ordinary plates',
  packed: 'packed plates',
}

/** What to do first, and why, in plain words. */
export function adviceWords(advice: Advice, reasons: Reasons): string {
  switch (advice.code) {
    case 'look at the printer':
      return `${lookWords(reasons)}: ${printerReason(advice, reasons)}.`
    case 'fewer copies a plate':
      return plateWords(reasons)
    case 'other supports or another file':
      return `Try ${reasons.hasNewerRevision ? 'a newer revision, ' : ''}other supports, or another file: ${fileReason(reasons)}.`
    case "can't tell the file from that printer yet":
      return `The file can't be told from that printer yet: ${oneSidedReason(reasons.setEvidence)}. A plate on another printer would tell, or a look at what fails next.`
  }
}

/** A printer that was looked after since wants no look for what was before. */
const lookWords = ({ upkeepSince }: Reasons) =>
  upkeepSince
    ? 'The printer had upkeep after this plate, so see how it prints now before you blame the file'
    : 'Look at the film and the level, and filter the vat, before you blame the file'

function printerReason(advice: Advice & { code: 'look at the printer' }, reasons: Reasons) {
  const known = othersPrint(reasons.failedFilesElsewhere, reasons.lately.failedFiles)
  const plates = reasons.lately.failedPlates > 1 ? `${platesFailed(reasons)}${known}` : ''
  if (advice.because !== 'worse than before') return plates || `${seenOnMachine(reasons)}${known}`
  const worse = reasons.upkeepSince
    ? `up to then it very likely printed worse than in the time before (${ofHundred(advice.probability)})`
    : `since its last upkeep it very likely prints worse than before (${ofHundred(advice.probability)})`
  return plates ? `${worse}; ${plates}` : `${worse}${known}`
}

const hundred = (share: number) => `${Math.round(share * 100)} of 100`

const seenOnMachine = ({ somethingSeen }: Reasons) =>
  somethingSeen
    ? 'what was seen is what a worn film or an unlevel plate does'
    : 'nobody saw what was wrong, but going by all its prints between two upkeeps the machine is the likeliest cause'

/** "4 of the last 5 plates on this printer had failures, with 3 different files". */
function platesFailed({ lately: { plates, failedPlates, failedFiles }, upkeepSince }: Reasons): string {
  const files = failedFiles > 1 ? `, with ${failedFiles} different files` : ''
  const last = upkeepSince
    ? `up to then ${failedPlates} of its last ${plates} plates`
    : `${failedPlates} of the last ${plates} plates on this printer`
  return `${last} had failures${files}`
}

/** ", of which other printers bring 95 of 100 through (114 of 120 copies)". */
function othersPrint(elsewhere: Counts, files: number): string {
  if (elsewhere.tried === 0) return ''
  return `${files > 1 ? ', of which' : '; of the same file'} other printers bring ${countsWords(elsewhere)}`
}

/**
 * "95 of 100 through (114 of 120 copies)": all or none of 100 only where it was all or none of the copies.
 *
 * @param which of them, if that needs saying
 */
function countsWords({ tried, good }: Counts, which = ''): string {
  const share = good === tried || good === 0 ? hundred(good / tried) : ofHundred(good / tried)
  return `${share} through (${good} of ${tried} ${tried === 1 ? 'copy' : 'copies'}${which})`
}

function plateWords({ crowding, plates, tried }: Reasons): string {
  const own = `${crowdingWords[crowding]} bring ${ofHundred(plates[crowding])} copies through in this group`
  if (crowding === 'loose')
    return `Print it once more before you change anything: the plate is the likeliest cause, but it was half empty already, and ${own}.`
  const first = tried === 1 ? 'Leave more room on the plate' : 'Put fewer copies on the plate'
  // Nothing in the model keeps fuller plates from doing better; with few loose ones reported they may.
  if (plates.loose <= plates[crowding])
    return `${first}: what was seen is what a full plate does, though ${crowdingWords.loose} do no better in this group yet (${ofHundred(plates.loose)} copies).`
  return `${first}: ${own}, ${crowdingWords.loose} ${ofHundred(plates.loose)}.`
}

/** Supports that come out so often elsewhere are hardly at fault for how they print there (common practice, no source). */
const printsWell = 0.9

function fileReason({ fileElsewhere: elsewhere, somethingSeen, hasNewerRevision }: Reasons): string {
  const counts = countsWords(elsewhere, hasNewerRevision ? ', of whichever revision' : '')
  const why = somethingSeen
    ? 'what was seen points to the supports'
    : 'nobody saw what was wrong, so that is no more than the likeliest guess'
  if (elsewhere.tried === 0) return `nobody has printed it on another printer yet, and ${why}`
  if (elsewhere.good / elsewhere.tried < printsWell) return `other printers bring ${counts}`
  return `${why}, even though other printers bring ${counts}`
}

/** "9 of its 10 copies came off one printer between two upkeeps, and nobody saw what was wrong with 2 of the 3 that failed". */
function oneSidedReason({ copiesByPeriod, failures }: SetEvidence): string {
  const copies = sum(copiesByPeriod)
  const failed = sum(failures.map((failure) => failure.copies))
  const unseen = sum(failures.filter(({ seen }) => seen === "don't know").map((failure) => failure.copies))
  const here =
    copies === 1
      ? 'its only copy came off one printer'
      : `${partOf(Math.max(...copiesByPeriod), copies, `all ${copies} of its`, 'of its')} copies came off one printer between two upkeeps`
  const blind = failed === 1 ? 'the one' : partOf(unseen, failed, `any of the ${failed}`, 'of the')
  return `${here}, and nobody saw what was wrong with ${blind} that failed`
}

const partOf = (some: number, all: number, allWords: string, between: string) =>
  some === all ? allWords : `${some} ${between} ${all}`

const sum = (numbers: readonly number[]) => numbers.reduce((total, number) => total + number, 0)
