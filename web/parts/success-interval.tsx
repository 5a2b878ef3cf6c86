import { percent } from './hatching.tsx'

/** Print success of a support set: chances from 0 to 1, the 80 % interval, and how many copies speak for it. */
export interface PrintSuccess {
  mean: number
  low: number
  high: number
  /** Reported copies, weighted; a fraction. */
  copies: number
}

/** Where the guess comes from while nobody has reported: the sculptor's other files, or everything the group printed. */
export type Basis = 'sculptor' | 'group'

/** "46 copies: between 84 and 96 of 100 come out good", and what can be said without a report. */
export function successWords({ low, high, copies }: PrintSuccess, basis: Basis = 'group'): string {
  const from = Math.round(low * 100)
  const to = Math.round(high * 100)
  const share = from === to ? `about ${from} of 100 come out good` : `between ${from} and ${to} of 100 come out good`
  const whole = Math.round(copies)
  if (copies <= 0) {
    return `No reports yet; going by ${basis === 'sculptor' ? "this sculptor's other files" : "the group's files"}: ${share}`
  }
  if (whole === 0) return `Hardly a copy reported yet: ${share}`
  return `${whole} ${whole === 1 ? 'copy' : 'copies'}: ${share}`
}

export interface SuccessIntervalProps {
  success: PrintSuccess
  basis?: Basis
  /** A sentence when the evidence can't be told apart: "can't tell the file from that printer yet". */
  doubt?: string
  /** `none`: the words are only heard, for a table that has them in a column of its own. */
  words?: 'full' | 'none'
}

// The end marks keep to the ruler, so that they don't stick out of a narrow card.
const anchors = ['start', 'middle', 'end'] as const

/** The interval as a line on a ruler of 0 to 100 good copies, the likeliest share as a dot; hollow while it is a guess. */
export function SuccessInterval({ success, basis, doubt, words = 'full' }: SuccessIntervalProps) {
  const guess = success.copies <= 0
  return (
    <figure class={guess ? 'interval interval-guess' : 'interval'}>
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
        <line class="interval-line" x1={percent(success.low)} x2={percent(success.high)} y1="10" y2="10" />
        <line class="interval-end" x1={percent(success.low)} x2={percent(success.low)} y1="5" y2="15" />
        <line class="interval-end" x1={percent(success.high)} x2={percent(success.high)} y1="5" y2="15" />
        <circle class="interval-dot" cx={percent(success.mean)} cy="10" r="5.5" />
      </svg>
      <figcaption class={words === 'none' ? 'visually-hidden' : undefined}>
        {successWords(success, basis)}
        {doubt && <span class="doubt"> {doubt}</span>}
      </figcaption>
    </figure>
  )
}
