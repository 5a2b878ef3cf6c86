/** The tag in its usual spelling; undefined when numbers can't be written in it. */
export function localeOf(tag: string): string | undefined {
  try {
    return Intl.NumberFormat.supportedLocalesOf(tag)[0]
  } catch {
    return undefined
  }
}

/** The time zone in its usual spelling; undefined when there is none of this name. Offsets such as +01:00 have no summer. */
export function timeZoneOf(name: string): string | undefined {
  if (!/^[A-Za-z]/.test(name)) return undefined
  try {
    return new Intl.DateTimeFormat('en', { timeZone: name }).resolvedOptions().timeZone
  } catch {
    return undefined
  }
}
