import type { ComponentChildren } from 'preact'
import { Money, type MoneyValue } from './money.tsx'

export interface Column<Row> {
  /** Heading of the column, and the label of the value on a phone. */
  label: string
  /** Seen instead of the label over the column: a ruler for what stands under it. */
  heading?: ComponentChildren
  cell: (row: Row) => ComponentChildren
  /** What stands under the column in the row of totals; without any in all columns there is no such row. */
  total?: ComponentChildren
  /** Figures stand at the right, digit under digit. */
  figures?: boolean
  /** The row is known by this cell: it heads its lines on a phone. One column at most. */
  head?: boolean
  /** A bar, an interval or a longer text: takes a whole line on a phone. */
  wide?: boolean
  /** The value that the row is read for: on a phone it stands at the right of the row's head, without its label. */
  sum?: boolean
}

interface MoneyColumn {
  /** What all of them come to. */
  total?: MoneyValue
  /** What is said where there is none. */
  none?: string
  /** The value that the row is read for. */
  sum?: boolean
}

/** A column of sums of money, by the field that holds each. */
export const moneyColumn = <Key extends string>(
  label: string,
  field: Key,
  { total, none, sum = false }: MoneyColumn = {},
) => ({
  label,
  figures: true,
  sum,
  cell: ({ [field]: value }: Record<Key, MoneyValue | null>) => (value ? <Money value={value} /> : none),
  total: total && <Money value={total} />,
})

/** Columns of counts and what they come to, by the field that holds each; those of nothing are left out. */
export function countColumns<Key extends string>(rows: Record<Key, number>[], fields: Record<string, Key>) {
  return Object.entries(fields).flatMap(([label, field]) => {
    const total = rows.reduce((sum, row) => sum + row[field], 0)
    return total > 0 ? [{ label, figures: true, cell: (row: Record<Key, number>) => row[field] || '', total }] : []
  })
}

export interface DataTableProps<Row> {
  caption: ComponentChildren
  /** Hear, but don't see the caption, where a heading just above says the same. */
  captionHidden?: boolean
  columns: Column<Row>[]
  rows: Row[]
  rowKey: (row: Row) => string
  /** On a phone a row is its head and its sum, and one small line of what else there is. */
  close?: boolean
}

/**
 * A ruled table; on a phone each row becomes a few lines of labels and values, by style alone. The roles are written out
 * because browsers drop a table's meaning once its display is changed.
 */
export function DataTable<Row>({ caption, captionHidden, columns, rows, rowKey, close }: DataTableProps<Row>) {
  return (
    <table class={close ? 'data-table data-table-close' : 'data-table'} role="table">
      <caption class={captionHidden ? 'visually-hidden' : undefined}>{caption}</caption>
      <thead role="rowgroup">
        <tr role="row">
          {columns.map(({ label, heading, figures }) => (
            <th key={label} scope="col" role="columnheader" class={figures ? 'figures' : undefined}>
              {heading ?? label}
            </th>
          ))}
        </tr>
      </thead>
      <tbody role="rowgroup">
        {rows.map((row) => (
          <tr key={rowKey(row)} role="row">
            {columns.map((column) => (
              <Cell key={column.label} column={column} row={row} />
            ))}
          </tr>
        ))}
      </tbody>
      {rows.length > 1 && columns.some(({ total }) => total !== undefined) && <Totals columns={columns} />}
    </table>
  )
}

/** The row of totals; on a phone a column that has none is left out. */
function Totals<Row>({ columns }: { columns: Column<Row>[] }) {
  return (
    <tfoot role="rowgroup">
      <tr role="row">
        {columns.map(({ total, ...column }) => (
          <Cell
            key={column.label}
            column={{ ...column, wide: false, cell: () => total }}
            row={undefined}
            isBlank={total === undefined}
          />
        ))}
      </tr>
    </tfoot>
  )
}

function Cell<Row>({ column, row, isBlank }: { column: Column<Row>; row: Row; isBlank?: boolean }) {
  const content = column.cell(row)
  if (column.head) {
    return (
      <th scope="row" role="rowheader">
        {content}
      </th>
    )
  }
  return (
    <td role="cell" class={cellClass(column)} data-label={isBlank ? undefined : column.label}>
      {/* One box, so that a value of several pieces stays together on a phone. */}
      <div class="cell">{content}</div>
    </td>
  )
}

const cellClass = <Row,>({ figures, wide, sum }: Column<Row>): string | undefined =>
  [figures ? 'figures' : wide && 'wide', sum && 'row-sum'].filter(Boolean).join(' ') || undefined
