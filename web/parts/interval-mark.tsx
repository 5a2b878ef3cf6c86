import { percent } from './hatching.tsx'
import { ofHundred } from './numbers.ts'
import type { Interval } from './success-interval.tsx'

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
