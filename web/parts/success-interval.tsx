import type { ComponentChildren } from 'preact'
import { percent } from './hatching.tsx'
import { hundredths } from './of-hundred.ts'

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
}

/** What a guess goes by while nobody has reported: the sculptor's other files, what the group prints, or what is usual. */
export type Basis = 'sculptor' | 'group' | 'nothing'

export interface SuccessProps {
  /** All in: file, machine and plate. */
  comesOut: Interval
  /** The file alone. */
  printSuccess: PrintSuccess
  basis?: Basis
  /** The machine that `comesOut` is of. */
  on?: string
}

const inOrder = 'a printer in good order'

/** "About 8 of 10 come out good on a printer in good order; the file alone 84-94 of 100 (46 copies)." */
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
  return whole === 1 ? '1 copy' : `${whole} copies`
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

interface SuccessIntervalProps extends SuccessProps {
  /** A sentence when the evidence can't be told apart: "can't tell the file from that printer yet". */
  doubt?: string
}

/** How many copies come out good, all in, as an interval and in words; the file alone beside it. */
export function SuccessInterval({ doubt, ...success }: SuccessIntervalProps) {
  return (
    <IntervalLine interval={success.comesOut} isGuess={success.printSuccess.copies <= 0}>
      {successWords(success)}
      {doubt && <span class="doubt"> {doubt}</span>}
    </IntervalLine>
  )
}

interface IntervalLineProps {
  interval: Interval
  isGuess: boolean
  /** What the line says, in words. */
  children: ComponentChildren
}

// The end marks keep to the ruler, so that they don't stick out of a narrow card.
const anchors = ['start', 'middle', 'end'] as const

/** An interval as a line on a ruler of 0 to 100 of 100, the mean as a dot; hollow while it is a guess. */
export function IntervalLine({ interval, isGuess, children }: IntervalLineProps) {
  return (
    <figure class={isGuess ? 'interval interval-guess' : 'interval'}>
      <svg width="100%" height="44" aria-hidden="true" focusable="false">
        <line class="ruler" x1="0" x2="100%" y1="24" y2="24" />
        {[0, 10, 20, 30, 40, 50, 60, 70, 80, 90, 100].map((mark) => (
          <line key={mark} class="ruler" x1={`${mark}%`} x2={`${mark}%`} y1={mark % 50 === 0 ? '17' : '20'} y2="24" />
        ))}
        {[0, 50, 100].map((mark) => (
          <text key={mark} class="ruler-words" x={`${mark}%`} y="41" text-anchor={anchors[mark / 50]}>
            {mark}
          </text>
        ))}
        <line class="interval-line" x1={percent(interval.low)} x2={percent(interval.high)} y1="10" y2="10" />
        <line class="interval-end" x1={percent(interval.low)} x2={percent(interval.low)} y1="5" y2="15" />
        <line class="interval-end" x1={percent(interval.high)} x2={percent(interval.high)} y1="5" y2="15" />
        <circle class="interval-dot" cx={percent(interval.mean)} cy="10" r="5.5" />
      </svg>
      <figcaption>{children}</figcaption>
    </figure>
  )
}
