import currencyCodes from 'currency-codes'

/** An amount as the API speaks it. */
export interface Money {
  amount: string
  currency: string
}

// Metals, units of account, and codes for tests and for no currency: minor unit "N.A." in ISO 4217 list one, so no
// prices. The package gives them 0 digits, as if they were like yen.
const withoutMinorUnit = new Set([
  'XAG',
  'XAU',
  'XBA',
  'XBB',
  'XBC',
  'XBD',
  'XDR',
  'XPD',
  'XPT',
  'XSU',
  'XTS',
  'XUA',
  'XXX',
])

const digits = new Map(
  currencyCodes.data.filter(({ code }) => !withoutMinorUnit.has(code)).map((c) => [c.code, c.digits] as const),
)

/** Every currency code that prices can be in, in alphabetical order (ISO 4217 list one). */
export const currencies: readonly string[] = [...digits.keys()].sort()

/** Currencies to choose from, with their English names. */
export function currencyChoices(codes: readonly string[] = currencies): { value: string; label: string }[] {
  const names = new Intl.DisplayNames('en', { type: 'currency' })
  return codes.map((value) => ({ value, label: `${value}, ${names.of(value) ?? value}` }))
}

export const isCurrency = (code: string) => digits.has(code)

/** Digits after the point: 2 for EUR, 0 for JPY, 3 for KWD (ISO 4217). @throws RangeError for an unknown code */
export function minorDigits(currency: string): number {
  const found = digits.get(currency)
  if (found === undefined) throw new RangeError(`${currency} is not a currency of ISO 4217`)
  return found
}

/** The amount in whole minor units; undefined when it has more digits than its currency. */
export function parseAmount(amount: string, currency: string): number | undefined {
  const [whole = '', fraction = ''] = amount.split('.')
  const places = minorDigits(currency)
  if (fraction.length > places) return undefined
  return Number(whole + fraction.padEnd(places, '0'))
}

/** Whole minor units of an amount that a schema has let in. */
export function toMinor(money: Money): number {
  const minor = parseAmount(money.amount, money.currency)
  if (minor === undefined) throw new RangeError(`${money.amount} has too many digits for ${money.currency}`)
  return minor
}

/** Minor units as a decimal string with exactly the currency's digits: 1250 EUR is "12.50". */
export function formatAmount(minor: number, currency: string): string {
  const places = minorDigits(currency)
  // A number from 1e21 on would be written with an exponent; no price gets there, but a silly rate does.
  const digitsOnly = BigInt(Math.abs(minor))
    .toString()
    .padStart(places + 1, '0')
  const cut = digitsOnly.length - places
  const text = places === 0 ? digitsOnly : `${digitsOnly.slice(0, cut)}.${digitsOnly.slice(cut)}`
  return minor < 0 ? `-${text}` : text
}

export const fromMinor = (minor: number, currency: string): Money => ({
  amount: formatAmount(minor, currency),
  currency,
})

/** A sum shared among so many, to the minor unit. */
export const dividedBy = (sum: Money, parts: number): Money => fromMinor(Math.round(toMinor(sum) / parts), sum.currency)

/**
 * Turns an amount into another currency, rounded to its minor unit.
 *
 * @param minor minor units of `from`
 * @param worth what one whole unit of `from` is worth in whole units of `to`
 */
export const convertMinor = (minor: number, from: string, to: string, worth: number) =>
  Math.round((minor / 10 ** minorDigits(from)) * worth * 10 ** minorDigits(to))

/** The currencies to choose from in a form, the group's own first. */
export const currenciesFrom = (own: string): [string, ...string[]] => [
  own,
  ...currencies.filter((code) => code !== own),
]
