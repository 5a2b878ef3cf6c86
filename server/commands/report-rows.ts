import { CsvError, parse } from 'csv-parse/sync'
import { compareText } from '../scoring/compare.ts'
import { type LabelTable, unknown } from '../scoring/labels.ts'
import { type Crowding, crowdings } from '../scoring/model.ts'
import type { Plate, Print } from '../scoring/plates.ts'
import { Malformed } from './malformed.ts'

const names = ['supportSet', 'sculptor', 'printer', 'period'] as const
const fixedColumns = [...names, 'crowding', 'good'] as const
/** Found by name, anywhere before the labels: rows with the same value were on one plate; a number that orders plates. */
const optionalColumns: readonly string[] = ['plate', 'day']
const mostCopies = 1_000_000

/** How full a plate was, in the words of older files. */
const olderCrowdings: readonly string[] = ['loose', 'normal', 'packed']
const crowdingOfWord = new Map(
  [crowdings, olderCrowdings].flatMap((words) => words.map((word, at) => [word, crowdings[at]] as const)),
)

/** Rows of a file as plates, and where each is found again in them. */
export type ReadRows = {
  plates: Plate[]
  /** by row of the file, the header left out: its plate, and its place among the plate's prints */
  places: { plate: string; print: number }[]
  /** the words that the file has for how full a plate was, in the order of `crowdings` */
  words: readonly string[]
}

/**
 * Plates from comma-separated text: six fixed columns, perhaps `plate` and `day`, then one a label with the copies that
 * failed so. A byte order mark and any kind of line end are fine; empty lines at the end are left out.
 *
 * @throws Malformed naming row and column
 * @see RFC 4180, Common Format and MIME Type for CSV Files
 */
export function platesFromCsv(text: string, labels: LabelTable): ReadRows {
  const [header = [], ...body] = cellsOf(text)
  const columns = columnsOf(header, labels)
  if (body.length === 0) throw Malformed.at(2, fixedColumns[0], 'there are no reports')
  const rows = body.map((cells, index) => readRow(cells, columns, index + 2))
  expectOneSculptorALine(rows)
  return joined(rows)
}

const quoteTroubles: Readonly<Record<string, string>> = {
  CSV_QUOTE_NOT_CLOSED: 'a quote that is never closed',
  CSV_INVALID_CLOSING_QUOTE: 'text after the closing quote',
}

function cellsOf(text: string): string[][] {
  try {
    const options = { bom: true, record_delimiter: ['\r\n', '\n', '\r'], relax_column_count: true }
    const rows: string[][] = parse(text, options)
    while (rows.at(-1)?.join() === '' && rows.at(-1)?.length === 1) rows.pop()
    return rows
  } catch (error) {
    if (!(error instanceof CsvError)) throw error
    const trouble = quoteTroubles[error.code] ?? 'a quote inside a cell that does not begin with one'
    throw Malformed.at(Number(error.records ?? 0) + 1, Number(error.column ?? 0) + 1, trouble)
  }
}

/** Columns by name, and those of labels. */
type Columns = { header: readonly string[]; at: ReadonlyMap<string, number>; seen: ReadonlyMap<string, number> }

function columnsOf(header: readonly string[], labels: LabelTable): Columns {
  const at = new Map<string, number>()
  const seen = new Map<string, number>()
  const missing = () => fixedColumns.find((name) => !at.has(name))
  header.forEach((name, index) => {
    const expected = missing()
    // A label may have the name of a column; it is one where the table has it and what is fixed is over.
    const isLabel = expected === undefined && (Object.hasOwn(labels, name) || !optionalColumns.includes(name))
    if (expected !== undefined && name !== expected && !optionalColumns.includes(name)) {
      throw Malformed.at(1, index + 1, `expected ${JSON.stringify(expected)}`)
    }
    if (isLabel && !Object.hasOwn(labels, name) && name !== unknown) throw Malformed.at(1, name, 'unknown label')
    const known = isLabel ? seen : at
    if (known.has(name)) throw Malformed.at(1, name, 'the column is there twice')
    known.set(name, index)
  })
  const expected = missing()
  if (expected !== undefined) throw Malformed.at(1, header.length + 1, `expected ${JSON.stringify(expected)}`)
  return { header, at, seen }
}

/** What one row tells: a plate of one print, which others may join. */
type Row = { key: string; index: number; print: Print; period: string; crowding: Crowding; word: string; day: number }

function readRow(cells: readonly string[], { header, at, seen }: Columns, row: number): Row {
  if (cells.length < header.length) throw Malformed.at(row, header[cells.length] ?? cells.length + 1, 'missing')
  if (cells.length > header.length) throw Malformed.at(row, header.length + 1, 'more cells than the header has columns')
  const cell = (name: string) => cells[at.get(name) ?? -1] ?? ''
  for (const name of names) if (cell(name).trim() === '') throw Malformed.at(row, name, 'empty')
  const failures = Array.from(seen, ([label, column]) => ({
    seen: label,
    copies: copiesOf(cells[column] ?? '', row, label),
  }))
  const [word, day] = [cell('crowding'), at.has('day') ? Number(cell('day').trim() || Number.NaN) : row]
  const crowding = crowdingOfWord.get(word)
  if (!crowding) {
    throw Malformed.at(row, 'crowding', `${JSON.stringify(word)} is none of ${[...crowdingOfWord.keys()].join(', ')}`)
  }
  if (!Number.isFinite(day)) throw Malformed.at(row, 'day', `${JSON.stringify(cell('day'))} is not a number`)
  const print = {
    line: cell('supportSet'),
    sculptor: cell('sculptor'),
    good: copiesOf(cell('good'), row, 'good'),
    failures: failures.filter(({ copies }) => copies > 0),
  }
  const period = `${cell('printer')}/${cell('period')}`
  return { key: cell('plate'), index: row - 2, print, period, crowding, word, day }
}

function copiesOf(text: string, row: number, column: string): number {
  if (!/^\d{1,7}$/.test(text) || Number(text) > mostCopies) {
    throw Malformed.at(row, column, `${JSON.stringify(text)} is not a whole number from 0 to ${mostCopies}`)
  }
  return Number(text)
}

function expectOneSculptorALine(rows: readonly Row[]): void {
  const sculptorOf = new Map<string, string>()
  for (const { print, index } of rows) {
    if ((sculptorOf.get(print.line) ?? print.sculptor) !== print.sculptor) {
      throw Malformed.at(
        index + 2,
        'sculptor',
        `support set ${JSON.stringify(print.line)} was another sculptor's before`,
      )
    }
    sculptorOf.set(print.line, print.sculptor)
  }
}

/**
 * Rows of one plate put together. A plate is known by its period and its name, a row without one by what it tells: so
 * plates of one day, and the prints of a plate, have an order that is not the file's.
 */
function joined(rows: readonly Row[]): ReadRows {
  const places: ReadRows['places'] = []
  const plates = Array.from(Map.groupBy(rows, idOf), ([id, together]) => {
    const sorted = together.toSorted((one, other) => compareText(contentOf(one), contentOf(other)))
    const { period, crowding } = sorted[0] as Row
    const odd = sorted.find((row) => row.crowding !== crowding)
    if (odd) throw Malformed.at(odd.index + 2, 'crowding', 'the plate is said to be otherwise in another row')
    sorted.forEach(({ index }, print) => {
      places[index] = { plate: id, print }
    })
    return {
      id,
      period,
      crowding,
      day: Math.min(...sorted.map(({ day }) => day)),
      prints: sorted.map(({ print }) => print),
    }
  })
  return { plates, places, words: rows.every(({ word, crowding }) => word === crowding) ? crowdings : olderCrowdings }
}

/** Plates of one day stand by their ids, so that 9 has to come before 10. */
function idOf(row: Row): string {
  const numbered = row.key.replaceAll(/\d+/g, (digits) => digits.padStart(15, '0'))
  return JSON.stringify(
    row.key ? [row.period, numbered, row.key] : [row.period, undefined, [contentOf(row), row.index]],
  )
}

const contentOf = ({ print, crowding }: Row) => JSON.stringify([print, crowding])
