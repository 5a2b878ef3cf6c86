import { agoForm } from './date-words.tsx'
import { counted } from './numbers.ts'

export interface Fit {
  /** Since everything was last worked out; null before the first time. */
  minutesAgo: number | null
  /** That it was worked out from. */
  plates: number
  /** Plates that came, changed or went since. */
  notCounted: number
}

/** "The estimates were worked out 2 hours ago from 412 plates; 3 are not counted yet." */
export function Freshness({ fit }: { fit: Fit }) {
  return (
    <p class="quiet">
      {freshWords(fit)} <a href="/estimates">How fresh the estimates are</a>
    </p>
  )
}

export function freshWords({ minutesAgo, plates, notCounted }: Fit): string {
  if (minutesAgo === null)
    return notCounted === 0
      ? 'Nothing was reported yet, so there are no estimates of your own.'
      : 'The figures are being worked out from your plates for the first time.'
  return `The estimates were worked out ${agoWords(minutesAgo)} from ${counted(plates, 'plate')}${waitingWords(notCounted)}.`
}

function waitingWords(plates: number): string {
  if (plates === 0) return ''
  return `; ${counted(plates, 'plate')} ${plates === 1 ? 'is' : 'are'} not counted yet`
}

/** "3 minutes ago", "2 hours ago", "yesterday", "5 days ago". */
function agoWords(minutes: number): string {
  if (minutes < 1) return 'just now'
  if (minutes < 90) return agoForm.format(-Math.round(minutes), 'minute')
  if (minutes < 36 * 60) return agoForm.format(-Math.round(minutes / 60), 'hour')
  return agoForm.format(-Math.round(minutes / 1440), 'day')
}
