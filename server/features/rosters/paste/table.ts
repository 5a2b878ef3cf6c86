import { CsvError, parse } from 'csv-parse/sync'
import { type Raw, withBrackets } from './free-line.ts'

export interface Columns {
  delimiter: string
  words: number
  models: number
  amount: number
  currency: number
}

const names = {
  words: ['unit', 'name', 'unit name'],
  models: ['models', 'number', 'count', 'number of models', 'how many', 'quantity', 'qty'],
  amount: ['retail price', 'price', 'retail', 'box', 'box price', 'price of its box'],
  currency: ['currency'],
}

/** The columns of a table, if the line is the heading of one: it has to name units, and models or prices. */
export function headingOf(text: string): Columns | undefined {
  const delimiter = ['\t', ';', ','].find((one) => text.includes(one))
  if (!delimiter) return undefined
  const cells = cellsOf([text], delimiter)[0]?.map((cell) => cell.toLowerCase()) ?? []
  const at = (wanted: readonly string[]) => cells.findIndex((cell) => wanted.includes(cell))
  const columns = {
    delimiter,
    words: at(names.words),
    models: at(names.models),
    amount: at(names.amount),
    currency: at(names.currency),
  }
  return columns.words >= 0 && Math.max(columns.models, columns.amount) >= 0 ? columns : undefined
}

/**
 * The rows of a table, line by line: in words, what is wrong with one; null for one of nothing, as spreadsheets leave them
 * at the end.
 */
export const tableRows = (lines: string[], columns: Columns): (Raw | string | null)[] =>
  cellsOf(lines, columns.delimiter).map((cells) => (cells ? tableRow(cells, columns) : unread))

const unread = 'Its quotation marks cannot be read: one is not closed, or something follows it.'

function tableRow(cells: string[], { words, models, amount, currency }: Columns): Raw | null {
  if (cells.every((cell) => cell === '')) return null
  const [called = '', said] = [cells[words], cells[models]]
  return {
    ...(said ? withBrackets(called, said) : { words: called, models: null }),
    ...(cells[amount] && { amount: cells[amount] }),
    ...(cells[currency] && { currency: cells[currency] }),
  }
}

/** Cells of each line (RFC 4180, but that no cell goes on in the next line); null for one that can't be read. */
function cellsOf(lines: string[], delimiter: string): (string[] | null)[] {
  const together = csv(lines.join('\n'), delimiter)
  // A quote that is not closed swallows what follows. Then each line is read by itself, which takes twenty times as long.
  const rows = together.length === lines.length ? together : lines.map((line) => csv(line, delimiter)[0])
  return rows.map((cells) => cells?.map((cell) => cell.trim()) ?? null)
}

function csv(text: string, delimiter: string): string[][] {
  try {
    return parse(text, { delimiter, trim: true, relax_quotes: true, relax_column_count: true })
  } catch (error) {
    if (error instanceof CsvError) return []
    throw error
  }
}
