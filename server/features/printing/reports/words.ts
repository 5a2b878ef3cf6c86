import type { Crowding, Seen } from '../../../../db/tables.ts'
import { countedHundredths, ofHundred } from '../../../../web/parts/numbers.ts'
import type { Blame } from '../../../scoring/blame.ts'
import { type Stage, stages } from '../../../scoring/labels.ts'
import type { Advice, LineEvidence } from '../../../scoring/verdict.ts'

/** What is known around a failed report, to give the reason with its numbers. */
export interface Reasons {
  /** what each stage bears of the failures */
  blame: Blame
  /** copies on this plate */
  tried: number
  /** title of the file that has most to answer for; null where it was alone on the plate */
  suspect: string | null
  /** what somebody saw on failed copies of this plate */
  seen: readonly { seen: Seen; copies: number }[]
  /** there is a later revision of that file with supports of its kind */
  hasNewerRevision: boolean
  /** the printer had upkeep after this plate */
  upkeepSince: boolean
  /** the last plates on the same printer between the same upkeeps, this one included */
  lately: { plates: number; failedPlates: number; failedFiles: number }
  /** how the files that failed there came out on other printers */
  failedFilesElsewhere: Counts
  /** how the suspected file with these supports came out on other printers */
  fileElsewhere: Counts
  /** of a file that can't be told from its printer: copies by printer between two upkeeps, what was seen on the failed */
  lineEvidence: LineEvidence
  crowding: Crowding
  /** mean success of a plate by crowding: the chance that the crowding harms no copy */
  plates: Record<Crowding, number>
}

type Counts = { tried: number; good: number }

const crowdingWords: Record<Crowding, string> = {
  'half empty': 'half-empty plates',
  'about full': 'plates that are about full',
  packed: 'packed plates',
}

/** What to do first, and why, in plain words. */
export function adviceWords(advice: Advice, reasons: Reasons): string {
  switch (advice.code) {
    case 'look at the printer':
      return `${lookWords(reasons)}: ${printerReason(advice, reasons)}.`
    case 'fewer copies a plate':
      return `${plateWords(reasons)}${besides('plate', reasons)}`
    case 'other supports or another file':
      return `Try ${reasons.hasNewerRevision ? 'a newer revision, ' : ''}other supports, or another file${insteadOf(reasons)}: ${fileReason(reasons)}.${besides('file', reasons)}`
    case "can't tell the file from that printer yet":
      return `The file can't be told from that printer yet: ${oneSidedReason(reasons.lineEvidence)}. To find out, print it on another printer, or look closely at the next copy that fails.`
  }
}

/** Of 100: shares that are no further apart can't be told apart by so few failures (common practice, no source). */
const nearlyAsMuch = 15

/** Where another stage bears nearly as much of the blame as the one that the advice is about, so that nobody overlooks it. */
function besides(first: Stage, reasons: Reasons): string {
  const { blame } = reasons
  const [second] = stages.filter((stage) => stage !== first).toSorted((one, other) => blame[other] - blame[one])
  if (!second || Math.round(100 * (blame[first] - blame[second])) > nearlyAsMuch) return ''
  const shares = `${ofHundred(blame[second])}, the ${first} ${ofHundred(blame[first])}`
  return ` The ${second} bears nearly as much of the blame (${shares}): ${alsoDo[second](reasons)}.`
}

const alsoDo: Record<Stage, (reasons: Reasons) => string> = {
  file: () => 'other supports, or another file, may help as much',
  machine: ({ upkeepSince }) =>
    upkeepSince ? 'the printer had upkeep since, so see how it prints now' : 'look at the film and the level as well',
  plate: ({ crowding }) =>
    crowding === 'half empty' ? 'the same plate once more would tell' : 'more room on the plate may help as much',
}

const insteadOf = ({ suspect }: Reasons) => (suspect === null ? '' : `, instead of ${suspect}`)

/** A printer that was looked after since wants no look for what was before. */
const lookWords = ({ upkeepSince }: Reasons) =>
  upkeepSince
    ? 'The printer had upkeep after this plate, so see how it prints now before you blame the file'
    : 'Look at the film and the level, and filter the vat, before you blame the file'

function printerReason(advice: Advice & { code: 'look at the printer' }, reasons: Reasons) {
  const known = othersPrint(reasons.failedFilesElsewhere, reasons.lately.failedFiles)
  const plates = reasons.lately.failedPlates > 1 ? `${platesFailed(reasons)}${known}` : ''
  if (advice.because === 'most of the blame') return plates || `${seenOnMachine(reasons)}${known}`
  const worn = `${advice.probability > 0.5 ? 'it is probably worn' : 'it may be worn'} by now (${ofHundred(advice.probability)})`
  return plates ? `${worn}; ${plates}` : `${worn}${known}`
}

const seenOnMachine = ({ seen }: Reasons) =>
  seen.length > 0
    ? 'what was seen is typical of a worn film or an unlevel plate'
    : 'nobody saw what was wrong, but judging by all its prints between two upkeeps, the machine is the likeliest cause'

/** "4 of the last 5 plates on this printer had failures, with 3 different files". */
function platesFailed({ lately: { plates, failedPlates, failedFiles }, upkeepSince }: Reasons): string {
  const files = failedFiles > 1 ? `, with ${failedFiles} different files` : ''
  const last = upkeepSince
    ? `up to then ${failedPlates} of its last ${plates} plates`
    : `${failedPlates} of the last ${plates} plates on this printer`
  return `${last} had failures${files}`
}

/** ", of which 95 of 100 copies came out good on other printers (114 of 120)". */
function othersPrint(elsewhere: Counts, files: number): string {
  if (elsewhere.tried === 0) return ''
  return `${files > 1 ? ', of which' : '; of the same file'} ${countsWords(elsewhere)}`
}

/**
 * "95 of 100 copies came out good on other printers (114 of 120)": all or none of 100 only where it was all or none of them.
 *
 * @param which of them, if that needs saying
 */
function countsWords({ tried, good }: Counts, which = ''): string {
  const share = good === tried || good === 0 ? `${countedHundredths(good / tried)} of 100` : ofHundred(good / tried)
  return `${share} copies came out good on other printers (${good} of ${tried}${which})`
}

function plateWords({ crowding, plates, tried }: Reasons): string {
  // The plate's stage alone: file and machine spoil copies besides.
  const own = `in this group, crowding leaves ${ofHundred(plates[crowding])} copies unspoilt on ${crowdingWords[crowding]}`
  if (crowding === 'half empty')
    return `Print it once more before you change anything: the plate is the likeliest cause, but it was half empty already, and ${own}.`
  const first = tried === 1 ? 'Leave more room on the plate' : 'Put fewer copies on the plate'
  // Nothing in the model keeps fuller plates from doing better; with few half-empty ones reported they may.
  if (plates['half empty'] <= plates[crowding])
    return `${first}: what was seen is typical of a full plate, though ${crowdingWords['half empty']} do no better in this group yet (${ofHundred(plates['half empty'])} copies).`
  return `${first}: ${own}, and ${ofHundred(plates['half empty'])} on ${crowdingWords['half empty']}.`
}

/** Supports that come out so often elsewhere are hardly at fault for how they print there (common practice, no source). */
const printsWell = 0.9

function fileReason({ fileElsewhere: elsewhere, seen, hasNewerRevision }: Reasons): string {
  const counts = countsWords(elsewhere, hasNewerRevision ? ', of all revisions' : '')
  const why =
    seen.length > 0
      ? 'what was seen points to the supports'
      : 'nobody saw what was wrong, so this is only the best guess'
  if (elsewhere.tried === 0) return `nobody has printed it on another printer yet, and ${why}`
  if (elsewhere.good / elsewhere.tried < printsWell) return counts
  return `${why}, even though ${counts}`
}

/** "9 of its 10 copies came off one printer between two upkeeps, and nobody saw what was wrong with 2 of the 3 that failed". */
function oneSidedReason({ copiesByPeriod, failures }: LineEvidence): string {
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

/** What was seen, and what would tell two stages apart, where none is the likely cause. */
export function wouldTell(blame: Blame, { seen, crowding, upkeepSince }: Reasons): string {
  const byShare = stages.toSorted((one, other) => blame[other] - blame[one])
  if (seen.length === 0)
    return 'Nobody saw what was wrong. To find out, look closely at the next copy that fails; that tells more than another plate.'
  const words = seen.map((one) => `${one.seen} (${one.copies})`).join(', ')
  const least: Stage = byShare[2] ?? 'plate'
  const isHalfEmpty = crowding === 'half empty'
  const emptier = isHalfEmpty ? 'The same plate once more' : 'The same on a half-empty plate'
  const third = isHalfEmpty ? 'the plate' : 'the crowding'
  const next: Record<Stage, string> = {
    file: `${emptier}${upkeepSince ? '' : ', after a look at the film,'} would tell the machine from ${third}`,
    machine: `${emptier} would tell the file from ${third}`,
    plate: 'Another file on this printer, or this one on another, would tell the file from the machine',
  }
  return `Seen: ${words}. ${next[least]}.`
}

const partOf = (some: number, all: number, allWords: string, between: string) =>
  some === all ? allWords : `${some} ${between} ${all}`

const sum = (numbers: readonly number[]) => numbers.reduce((total, number) => total + number, 0)
