import type { ComponentChildren } from 'preact'
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

/** What has no price. */
export const notToBeHad = 'not to be had'

/** One sum of money, never broken over two lines. */
export function Money({ value }: { value: MoneyValue }) {
  const { locale } = useReader()
  return <span class="money">{moneyWords(value, locale)}</span>
}

/** The sum that a page or a row is about, large. */
export const Sum = ({ value }: { value: MoneyValue }) => (
  <span class="sum">
    <Money value={value} />
  </span>
)

export interface Term {
  words: ComponentChildren
  /** How the sum came about: "10 copies of 8.4 ml". */
  note?: ComponentChildren
  /** Null for what can't be had. */
  value: MoneyValue | null
  /** What the terms before it come to. */
  isBetween?: boolean
  /** Added to what is ruled off above it. */
  isAdded?: boolean
}

interface SumTableProps {
  caption: string
  /** Hear, but don't see the caption. */
  captionHidden?: boolean
  terms: Term[]
  total: Pick<Term, 'words' | 'value'>
}

/** A sum written out as in a ledger. The total is passed in rather than added up here: it is the figure that ranks. */
export function SumTable({ caption, captionHidden, terms, total }: SumTableProps) {
  return (
    <table class="sum-table">
      <caption class={captionHidden ? 'visually-hidden' : undefined}>{caption}</caption>
      <tbody>
        {terms.map(({ words, note, value, isBetween, isAdded }, index) => (
          <tr key={index} class={isBetween ? 'sum-between' : undefined}>
            <th scope="row">
              {words}
              {note && <small>{note}</small>}
            </th>
            <td>
              {isAdded && '+ '}
              {value ? <Money value={value} /> : notToBeHad}
            </td>
          </tr>
        ))}
      </tbody>
      <tfoot>
        <tr>
          <th scope="row">{total.words}</th>
          <td>{total.value ? <Money value={total.value} /> : notToBeHad}</td>
        </tr>
      </tfoot>
    </table>
  )
}

export interface Bottle {
  price: MoneyValue
  bottleG: number | null
  bottleMl: number | null
}

/** "€32.00 for 1000 g": what a bottle cost, by weight, by volume, or a kilogram where nobody said how much is in it. */
export function Paid({ price, bottleG, bottleMl }: Bottle) {
  const size = bottleG === null ? (bottleMl === null ? 'a kilogram' : `${bottleMl} ml`) : `${bottleG} g`
  return (
    <>
      <Money value={price} /> for {size}
    </>
  )
}

/** "your Slate Grey", and by whose price where that is not its own. */
export const resinWords = ({ name, withoutRate }: { name: string; withoutRate: string | null }) =>
  withoutRate === null
    ? `your ${name}`
    : `your ${name}, at the group's price: the group has no exchange rate for ${withoutRate}`
