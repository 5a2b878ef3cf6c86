import { kept } from './kept.ts'
import { useReader } from './reader.tsx'

/** A sum of money as the API writes it: decimal string with exactly the currency's minor digits. */
export interface MoneyValue {
  amount: string
  currency: string
}

/**
 * Writes a sum in the group's manner. The digits after the point are those of the amount, which the API fixed to
 * ISO 4217: Intl's own table differs for a few currencies, and a ledger must not round what it was given.
 *
 * @throws RangeError when the amount is no plain decimal number
 */
export function moneyWords(money: MoneyValue, locale: string): string {
  if (!/^-?\d+(\.\d+)?$/.test(money.amount)) throw new RangeError(`not an amount: ${money.amount}`)
  const digits = money.amount.split('.')[1]?.length ?? 0
  return moneyForm(locale, money.currency, String(digits)).format(money.amount as `${number}`)
}

const moneyForm = kept((locale: string, currency: string, digits: string) => {
  const places = { minimumFractionDigits: Number(digits), maximumFractionDigits: Number(digits) }
  return new Intl.NumberFormat(locale, { style: 'currency', currency, ...places })
})

/** From here on nobody says the cents of what they don't pay at this moment. */
const roundFrom = 10

/** A sum as a person says it: "€106", with its cents only where it is small. */
export function aboutMoney(money: MoneyValue, locale: string): string {
  const whole = Math.round(Number(money.amount))
  return Math.abs(whole) < roundFrom
    ? moneyWords(money, locale)
    : moneyWords({ ...money, amount: String(whole) }, locale)
}

/** What has no price. */
export const notToBeHad = 'not to be had'

/** One sum of money, never broken over two lines. @param about without its cents, where nothing is compared or paid */
export function Money({ value, about = false }: { value: MoneyValue; about?: boolean }) {
  const { locale } = useReader()
  return <span class="money">{(about ? aboutMoney : moneyWords)(value, locale)}</span>
}

/** The sum that a page or a row is about, large. */
export const Sum = ({ value }: { value: MoneyValue }) => (
  <span class="sum">
    <Money value={value} />
  </span>
)
