export interface Fit {
  /** Since everything was last worked out from all reports; null before the first time. */
  minutesAgo: number | null
  /** That it was worked out from. */
  reports: number
  /** Reports that came, changed or went since. */
  since: number
}

/** "The estimates were worked out 2 hours ago from 412 reports, 3 since." */
export function Freshness({ fit }: { fit: Fit }) {
  return (
    <p class="quiet">
      {freshWords(fit)} <a href="/estimates">How fresh the estimates are</a>
    </p>
  )
}

export function freshWords({ minutesAgo, reports, since }: Fit): string {
  if (minutesAgo === null) return 'The estimates have not been worked out from all reports yet.'
  return `The estimates were worked out ${agoWords(minutesAgo)} from ${reportsWords(reports)}, ${since === 0 ? 'none' : since} since.`
}

const reportsWords = (reports: number) => (reports === 1 ? '1 report' : `${reports} reports`)

/** "3 minutes ago", "2 hours ago", "yesterday", "5 days ago". */
function agoWords(minutes: number): string {
  const words = new Intl.RelativeTimeFormat('en-GB', { numeric: 'auto' })
  if (minutes < 1) return 'just now'
  if (minutes < 90) return words.format(-Math.round(minutes), 'minute')
  if (minutes < 36 * 60) return words.format(-Math.round(minutes / 60), 'hour')
  return words.format(-Math.round(minutes / 1440), 'day')
}
