import { CsvError, parse } from 'csv-parse/sync'
import { Malformed } from './malformed.ts'

/**
 * Rows and cells of comma-separated text. A byte order mark and any kind of line end are fine; empty lines at the end
 * are left out.
 *
 * @throws Malformed where a quote is not closed or stands where none may stand
 * @see RFC 4180, Common Format and MIME Type for CSV Files
 */
export function parseCsv(text: string): string[][] {
  try {
    const rows: string[][] = parse(text, {
      bom: true,
      record_delimiter: ['\r\n', '\n', '\r'],
      relax_column_count: true,
    })
    while (isEmptyLine(rows.at(-1))) rows.pop()
    return rows
  } catch (error) {
    if (!(error instanceof CsvError)) throw error
    throw Malformed.at(Number(error.records ?? 0) + 1, Number(error.column ?? 0) + 1, quoteTrouble(error.code))
  }
}

function isEmptyLine(row: readonly string[] | undefined): boolean {
  return row?.length === 1 && row[0] === ''
}

function quoteTrouble(code: string): string {
  switch (code) {
    case 'CSV_QUOTE_NOT_CLOSED':
      return 'a quote that is never closed'
    case 'CSV_INVALID_CLOSING_QUOTE':
      return 'text after the closing quote'
    default:
      return 'a quote inside a cell that does not begin with one'
  }
}
