import { percent } from './hatching.tsx'
import { counted, hundredths, ofHundred } from './numbers.ts'

/** A chance from 0 to 1 with its 80 % interval. */
export interface Interval {
  mean: number
  low: number
  high: number
}

/** How well a file prints by itself: the chance that a copy does not fail by it, and how many copies speak for that. */
export interface PrintSuccess extends Interval {
  /** Reported copies, weighted; a fraction. */
  copies: number
  /** The supports that it is of. */
  kind?: string
}

/** ", own supports": what a success is of, unless it is of the supports as supplied, which goes without saying. */
export const besideSupplied = (kind = 'as supplied'): string => (kind === 'as supplied' ? '' : `, ${kind}`)

/** What a guess rests on while nobody has reported: the sculptor's other files, the group's prints, or what is usual. */
export type Basis = 'sculptor' | 'group' | 'nothing'

interface SuccessProps {
  /** All in: file, machine and plate. */
  comesOut: Interval
  /** The file alone. */
  printSuccess: PrintSuccess
  basis?: Basis
  /** The machine that `comesOut` is of. */
  on?: string
}

const inOrder = 'a printer in good order'

/** "About 8 of 10 come out good on a printer in good order; the file alone 84-94 of 100 (counts as 46 copies)." */
export function successWords({ comesOut, printSuccess, basis = 'group', on = inOrder }: SuccessProps): string {
  const share = `${shareWords(comesOut.mean)} good on ${on}`
  const alone = `the file alone ${rangeWords(printSuccess)}`
  if (printSuccess.copies <= 0 && basis === 'nothing')
    return `Nobody here has printed anything yet. Usually about ${share}, ${alone}.`
  return `About ${share}; ${alone} (${evidenceWords(printSuccess.copies, basis)}).`
}

function evidenceWords(copies: number, basis: Basis): string {
  if (copies <= 0)
    return basis === 'sculptor'
      ? "no reports yet: going by this sculptor's other files"
      : "no reports of this sculptor's files yet: going by what the group prints"
  const whole = Math.round(copies)
  if (whole === 0) return 'hardly a copy reported yet'
  return `counts as ${counted(whole, 'copy', 'copies')}`
}

/** "8 of 10 come out": of a hundred where it is nearly all or nearly none, never quite all or none of them. */
export function shareWords(share: number): string {
  const tenth = Math.round(share * 10)
  const [number, of] = tenth > 0 && tenth < 10 ? [tenth, 10] : [hundredths(share), 100]
  return `${number} of ${of} ${number === 1 ? 'comes' : 'come'} out`
}

/** "84-94 of 100". */
export function rangeWords({ low, high }: Interval): string {
  const [from, to] = [hundredths(low), hundredths(high)]
  return from === to ? `about ${from} of 100` : `${from}-${to} of 100`
}

/** Where the ruler of a column of intervals begins: what comes out less often than that leaves by the left edge. */
const from = 0.5

const at = (share: number) => percent(Math.min(1, Math.max(0, (share - from) / (1 - from))))

/** The heading of a column of intervals: its one ruler. */
export function IntervalRuler({ words = 'come out good' }: { words?: string }) {
  return (
    <span class="interval-ruler">
      <span aria-hidden="true">
        <i>50</i>
        <i>75</i>
        <i>100</i>
      </span>{' '}
      of 100 {words}
    </span>
  )
}

interface IntervalMarkProps {
  interval: Interval
  isGuess: boolean
  /** What so many of a hundred do. */
  words?: string
  /** The share that has come off good so far, which is no estimate; said in words beside it. */
  counted?: number | undefined
}

/**
 * Tick, dot, tick on the ruler of its column, an arrow to the left for a dot before it begins; hollow while it is a guess.
 * The words beneath say the middle.
 */
export function IntervalMark({ interval, isGuess, words = 'come out', counted }: IntervalMarkProps) {
  return (
    <span class={isGuess ? 'interval-mark interval-guess' : 'interval-mark'}>
      <svg width="100%" height="16" aria-hidden="true">
        <line class="interval-line" x1={at(interval.low)} x2={at(interval.high)} y1="8" y2="8" />
        {interval.low >= from && (
          <line class="interval-end" x1={at(interval.low)} x2={at(interval.low)} y1="3" y2="13" />
        )}
        <line class="interval-end" x1={at(interval.high)} x2={at(interval.high)} y1="3" y2="13" />
        {interval.mean >= from ? (
          <circle class="interval-dot" cx={at(interval.mean)} cy="8" r="4.5" />
        ) : (
          <path class="interval-dot" d="M0 8l9-5v10z" />
        )}
        {counted !== undefined && <Counted share={counted} />}
      </svg>
      <small>
        {ofHundred(interval.mean)} {words}
      </small>
    </span>
  )
}

/** On the same ruler where nothing is expected any more: what came off good of something that is past. */
export function CountedMark({ share }: { share: number }) {
  return (
    <span class="interval-mark">
      <svg width="100%" height="16" aria-hidden="true">
        <Counted share={share} />
      </svg>
    </span>
  )
}

/** A diamond; an arrow to the left where it lies before the ruler begins. */
function Counted({ share }: { share: number }) {
  return (
    <svg x={at(share)} y="8" width="1" height="1" class="interval-counted" aria-hidden="true">
      <path d={share < from ? 'M-5 0l8-5v10z' : 'M0-6l5 6-5 6-5-6z'} />
    </svg>
  )
}
