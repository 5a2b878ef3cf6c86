import type { ComponentChildren } from 'preact'
import { Money, type MoneyValue, notToBeHad } from './money.tsx'

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
