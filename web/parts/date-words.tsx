import { kept } from './kept.ts'
import { useReader } from './reader.tsx'

const dayMs = 86_400_000

/** The day of an instant where the reader lives; a plain day stays as it is. @throws RangeError when it is neither */
export function dayOf(on: string, timeZone: string): string {
  if (/^\d{4}-\d{2}-\d{2}$/.test(on)) return on
  const parts = partsForm(timeZone).formatToParts(new Date(on))
  const part = Object.fromEntries(parts.map(({ type, value }) => [type, value]))
  return `${part.year}-${part.month}-${part.day}`
}

const partsForm = kept(
  (timeZone: string) => new Intl.DateTimeFormat('en', { timeZone, year: 'numeric', month: '2-digit', day: '2-digit' }),
)

/** "3 November 2026": dates are words of an English page, so only the order of English locales differs. */
export function dayWords(day: string, locale: string): string {
  return dayForm(englishOf(locale)).format(new Date(`${day}T00:00Z`))
}

const englishOf = (locale: string) => (/^en\b/.test(locale) ? locale : 'en-GB')

const dayForm = kept((locale: string) => new Intl.DateTimeFormat(locale, { dateStyle: 'long', timeZone: 'UTC' }))

/** "3 November 2026 at 18:05", where the reader lives. */
export const minuteWords = (on: string, locale: string, timeZone: string): string =>
  minuteForm(englishOf(locale), timeZone).format(new Date(on))

const minuteForm = kept(
  (locale: string, timeZone: string) =>
    new Intl.DateTimeFormat(locale, { dateStyle: 'long', timeStyle: 'short', timeZone }),
)

/** For distances in time. */
const agoForm = new Intl.RelativeTimeFormat('en-GB', { numeric: 'auto' })

/** "in 9 days", "yesterday", "3 months ago": whole days up to a fortnight, then weeks, months, years. */
export function distanceWords(day: string, today: string): string {
  const days = Math.round((Date.parse(`${day}T00:00Z`) - Date.parse(`${today}T00:00Z`)) / dayMs)
  const far = Math.abs(days)
  if (far < 14) return agoForm.format(days, 'day')
  if (far < 60) return agoForm.format(Math.trunc(days / 7), 'week')
  if (far < 730) return agoForm.format(Math.trunc(days / 30.44), 'month')
  return agoForm.format(Math.trunc(days / 365.25), 'year')
}

/**
 * A date in words.
 *
 * @param on `YYYY-MM-DD`, or an RFC 3339 instant, which becomes the reader's day
 * @param as `day` "3 November 2026", `minute` "3 November 2026 at 18:05", `distance` "in 9 days" (the day as its title), `both` "3 November 2026 (in 9 days)"
 */
export function DateWords({ on, as = 'day' }: { on: string; as?: 'day' | 'minute' | 'distance' | 'both' }) {
  const { locale, today, timeZone } = useReader()
  if (as === 'minute') return <time dateTime={on}>{minuteWords(on, locale, timeZone)}</time>
  const day = dayOf(on, timeZone)
  const words = dayWords(day, locale)
  const distance = distanceWords(day, today)
  if (as === 'day') return <time dateTime={on}>{words}</time>
  if (as === 'both') return <time dateTime={on}>{`${words} (${distance})`}</time>
  return (
    <time dateTime={on} title={words}>
      {distance}
    </time>
  )
}
