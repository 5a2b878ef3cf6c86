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

/** Places whose manner of writing numbers differs; more can be set over REST. */
const locales = [
  'en-GB',
  'en-US',
  'de-DE',
  'de-CH',
  'fr-FR',
  'fr-CH',
  'es-ES',
  'it-IT',
  'pt-PT',
  'pt-BR',
  'nl-NL',
  'da-DK',
  'sv-SE',
  'nb-NO',
  'fi-FI',
  'pl-PL',
  'cs-CZ',
  'hu-HU',
  'ro-RO',
  'el-GR',
  'tr-TR',
  'ja-JP',
  'ko-KR',
  'en-IN',
]

/** Manners of writing numbers to choose from, each with a sum as an example; the present one is among them. */
export function localeChoices(present: string, currency: string): { value: string; label: string }[] {
  const names = new Intl.DisplayNames('en', { type: 'language' })
  return [...new Set([present, ...locales])]
    .map((value) => {
      const sum = new Intl.NumberFormat(value, { style: 'currency', currency }).format(1234.5)
      return { value, label: `${names.of(value) ?? value}: ${sum}` }
    })
    .sort((a, b) => a.label.localeCompare(b.label, 'en'))
}

/** Time zones to choose from, by name; the present one is among them. */
export const timeZoneChoices = (present: string) =>
  [...new Set(['UTC', present, ...Intl.supportedValuesOf('timeZone')])].sort().map((value) => ({ value, label: value }))
