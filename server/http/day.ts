/** Whether the text is a calendar day `YYYY-MM-DD` that exists, between the years 1900 and 9999. */
export function isDay(text: string): boolean {
  if (!/^(19|[2-9]\d)\d\d-\d\d-\d\d$/.test(text)) return false
  const parsed = new Date(`${text}T00:00:00Z`)
  return !Number.isNaN(parsed.getTime()) && parsed.toISOString().startsWith(text)
}

/** The day of an instant in UTC, `YYYY-MM-DD`. */
export const dayOf = (instant: Date) => instant.toISOString().slice(0, 10)

/**
 * The last day that can be "today" anywhere on earth (UTC+14): what lies beyond it is in the future for everybody,
 * and nobody far east is refused the report of this evening's print.
 */
export const latestToday = (now: Date) => dayOf(new Date(now.getTime() + 14 * 3_600_000))
