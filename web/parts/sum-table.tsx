import type { ComponentChildren } from 'preact'
import { Money, type MoneyValue } from './money.tsx'

export interface Term {
  words: ComponentChildren
  /** How the sum came about: "10 copies of 8.4 ml". */
  note?: ComponentChildren
  value: MoneyValue
}

export interface SumTableProps {
  caption: string
  terms: Term[]
  total: { words: ComponentChildren; value: MoneyValue }
}

/** A sum written out as in a ledger. The total is handed in, not added up here: it is the figure that ranks. */
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
            <td>
              <Money value={value} />
            </td>
          </tr>
        ))}
      </tbody>
      <tfoot>
        <tr>
          <th scope="row">{total.words}</th>
          <td>
            <Money value={total.value} />
          </td>
        </tr>
      </tfoot>
    </table>
  )
}
