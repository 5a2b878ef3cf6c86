import type { ComponentChildren } from 'preact'
import { Money, type MoneyValue, notToBeHad } from './money.tsx'

export interface Term {
  words: ComponentChildren
  /** How the sum came about: "10 copies of 8.4 ml". */
  note?: ComponentChildren
  /** Null for what can't be had. */
  value: MoneyValue | null
}

export interface SumTableProps {
  caption: string
  terms: Term[]
  total: { words: ComponentChildren; value: MoneyValue | null }
}

/** A sum written out as in a ledger. The total is passed in rather than added up here: it is the figure that ranks. */
export function SumTable({ caption, terms, total }: SumTableProps) {
  return (
    <table class="sum-table">
      <caption>{caption}</caption>
      <tbody>
        {terms.map(({ words, note, value }, index) => (
          <tr key={index}>
            <th scope="row">
              {words}
              {note && <small>{note}</small>}
            </th>
            <td>{value ? <Money value={value} /> : notToBeHad}</td>
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
