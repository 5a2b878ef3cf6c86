import type { LabelTable } from '../labels.ts'
import { type Crowding, crowdings } from '../priors.ts'
import type { Report } from '../reports.ts'
import { Malformed } from './malformed.ts'

const fixedColumns = ['supportSet', 'sculptor', 'printer', 'period', 'crowding', 'good'] as const
const names = fixedColumns.slice(0, 4)
const mostCopies = 1_000_000

/**
 * Print reports from rows of cells: six fixed columns, then one a label with the copies that failed so.
 *
 * @param rows header first
 * @throws Malformed naming row and column
 */
export function reportsFromRows(rows: readonly string[][], labels: LabelTable): Report<string>[] {
  const [header = [], ...body] = rows
  const shown = labelColumns(header, labels)
  if (body.length === 0) throw Malformed.at(2, fixedColumns[0], 'there are no reports')
  const groupOf = new Map<string, string>()
  return body.map((cells, index) => {
    const row = index + 2
    const report = reportFromCells(cells, header, shown, row)
    const group = groupOf.get(report.supportSet) ?? report.group
    if (group !== report.group) {
      throw Malformed.at(
        row,
        'sculptor',
        `support set ${JSON.stringify(report.supportSet)} was another sculptor's before`,
      )
    }
    groupOf.set(report.supportSet, group)
    return report
  })
}

/** @returns the header's labels, in its order */
function labelColumns(header: readonly string[], labels: LabelTable): string[] {
  fixedColumns.forEach((name, index) => {
    if (header[index] !== name) throw Malformed.at(1, index + 1, `expected ${JSON.stringify(name)}`)
  })
  const shown = header.slice(fixedColumns.length)
  shown.forEach((label, index) => {
    if (!Object.hasOwn(labels, label)) throw Malformed.at(1, label, 'unknown label')
    if (shown.indexOf(label) !== index) throw Malformed.at(1, label, 'the column is there twice')
  })
  return shown
}

function reportFromCells(
  cells: readonly string[],
  header: readonly string[],
  shown: readonly string[],
  row: number,
): Report<string> {
  if (cells.length < header.length) throw Malformed.at(row, header[cells.length] ?? cells.length + 1, 'missing')
  if (cells.length > header.length) throw Malformed.at(row, header.length + 1, 'more cells than the header has columns')
  const cell = (column: number) => cells[column] ?? ''
  names.forEach((name, column) => {
    if (cell(column).trim() === '') throw Malformed.at(row, name, 'empty')
  })
  return {
    id: String(row),
    supportSet: cell(0),
    group: cell(1),
    printerPeriod: `${cell(2)}/${cell(3)}`,
    crowding: crowdingOf(cell(4), row),
    good: copiesOf(cell(5), row, 'good'),
    failures: shown
      .map((seen, index) => ({ seen, copies: copiesOf(cell(fixedColumns.length + index), row, seen) }))
      .filter(({ copies }) => copies > 0),
  }
}

function crowdingOf(text: string, row: number): Crowding {
  const crowding = crowdings.find((known) => known === text)
  if (!crowding) throw Malformed.at(row, 'crowding', `${JSON.stringify(text)} is none of ${crowdings.join(', ')}`)
  return crowding
}

function copiesOf(text: string, row: number, column: string): number {
  if (!/^\d{1,7}$/.test(text) || Number(text) > mostCopies) {
    throw Malformed.at(row, column, `${JSON.stringify(text)} is not a whole number from 0 to ${mostCopies}`)
  }
  return Number(text)
}
