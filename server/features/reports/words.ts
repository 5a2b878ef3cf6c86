import type { Crowding } from '../../../db/tables.ts'
import type { Advice } from '../../scoring/verdict.ts'
import { ofHundred } from '../printers/rules.ts'

/** What is known around a failed report, to give the reason with its numbers. */
export interface Reasons {
  /** the last plates on the same printer since its upkeep, this one included */
  lately: { plates: number; failedPlates: number; failedFiles: number }
  /** how the files that failed there came out on other printers */
  failedFilesElsewhere: { tried: number; good: number }
  /** how this file with these supports came out on other printers */
  fileElsewhere: { tried: number; good: number }
  crowding: Crowding
  /** mean success of a plate by crowding: the chance that the crowding harms no copy */
  plates: Record<Crowding, number>
}

const crowdingWords: Record<Crowding, string> = {
  loose: 'half-empty plates',
  normal: 'ordinary plates',
  packed: 'packed plates',
}

/** What to do first, and why, in plain words. */
export function adviceWords(advice: Advice, reasons: Reasons): string {
  switch (advice.code) {
    case 'look at the printer':
      return `Look at the film and the level, and filter the vat, before you blame the file: ${printerReason(advice, reasons)}.`
    case 'fewer copies a plate':
      return `Put fewer copies on the plate: ${plateReason(reasons)}.`
    case 'other supports or another file':
      return `Try other supports, or another file: ${fileReason(reasons)}.`
    case "can't tell the file from that printer yet":
      return `The file can't be told from that printer yet: ${hundred(advice.copiesFromOnePeriod)} of its copies came off one printer, and for ${hundred(advice.unknownFailures)} failed ones nobody saw what was wrong. A plate on another printer would tell, or a look at what fails next.`
  }
}

const hundred = (share: number) => `${Math.round(share * 100)} of 100`

function printerReason(advice: Advice & { code: 'look at the printer' }, reasons: Reasons) {
  const known = othersPrint(reasons.failedFilesElsewhere, reasons.lately.failedFiles)
  const plates = reasons.lately.failedPlates > 1 ? `${platesFailed(reasons.lately)}${known}` : ''
  if (advice.because !== 'worse than before')
    return plates || `what was seen is what a worn film or an unlevel plate does${known}`
  const worse = `since its last upkeep it very likely prints worse than before (${hundred(advice.probability)})`
  return plates ? `${worse}; ${plates}` : `${worse}${known}`
}

/** "4 of the last 5 plates on this printer had failures, with 3 different files". */
function platesFailed({ plates, failedPlates, failedFiles }: Reasons['lately']): string {
  const files = failedFiles > 1 ? `, with ${failedFiles} different files` : ''
  return `${failedPlates} of the last ${plates} plates on this printer had failures${files}`
}

/** ", which others print at 95 of 100 (114 of 120 copies)". */
function othersPrint({ tried, good }: { tried: number; good: number }, files: number): string {
  if (tried === 0) return ''
  const share = `at ${ofHundred(good / tried)} (${good} of ${tried} copies)`
  return files > 1 ? `, which others print ${share}` : `; others print the file ${share}`
}

function plateReason({ crowding, plates }: Reasons): string {
  const own = `${crowdingWords[crowding]} bring ${ofHundred(plates[crowding])} copies through in this group`
  return crowding === 'loose' ? own : `${own}, ${crowdingWords.loose} ${ofHundred(plates.loose)}`
}

function fileReason({ fileElsewhere: { tried, good } }: Reasons): string {
  if (tried === 0) return 'nobody has printed it on another printer yet, and what was seen points to the supports'
  return `others print it at ${ofHundred(good / tried)} (${good} of ${tried} copies)`
}
