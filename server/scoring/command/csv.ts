import { Malformed } from './malformed.ts'

/** A cell: a quoted one with doubled quotes inside, or a plain one; then what ends it. */
const cell = /(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r\n|\n|\r|$)/y

/**
 * Rows and cells of comma-separated text. A byte order mark and any kind of line end are fine; empty lines at the end
 * are left out.
 *
 * @throws Malformed where a quote is not closed or stands where none may stand
 * @see RFC 4180, Common Format and MIME Type for CSV Files
 */
export function parseCsv(text: string): string[][] {
  let row: string[] = []
  const rows = [row]
  cell.lastIndex = text.startsWith('\uFEFF') ? 1 : 0
  for (;;) {
    const from = cell.lastIndex
    const match = cell.exec(text)
    if (!match) throw Malformed.at(rows.length, row.length + 1, quoteTrouble(text, from))
    const [, quoted, plain = '', end] = match
    row.push(quoted === undefined ? plain : quoted.replaceAll('""', '"'))
    if (end === '') break
    if (end === ',') continue
    row = []
    rows.push(row)
  }
  while (isEmptyLine(rows.at(-1))) rows.pop()
  return rows
}

function isEmptyLine(row: readonly string[] | undefined): boolean {
  return row?.length === 1 && row[0] === ''
}

function quoteTrouble(text: string, from: number): string {
  if (text[from] !== '"') return 'a quote inside a cell that does not begin with one'
  return /^"(?:[^"]|"")*$/.test(text.slice(from)) ? 'a quote that is never closed' : 'text after the closing quote'
}
