import { compareText } from '../compare.ts'
import { type LabelTable, unknown } from '../labels.ts'
import { type Crowding, crowdings } from '../model.ts'
import type { Plate, Print } from '../plates.ts'
import { Malformed } from './malformed.ts'

const names = ['supportSet', 'sculptor', 'printer', 'period'] as const
const fixedColumns = [...names, 'crowding', 'good'] as const
type Fixed = (typeof fixedColumns)[number]
/** Found by name, anywhere before the labels: rows with the same value were on one plate; a number that orders plates. */
const optionalColumns = ['plate', 'day'] as const
const mostCopies = 1_000_000

/** How full a plate was, in the product's words and in those of older files. */
const crowdingOfWord: Readonly<Record<string, Crowding>> = {
  ...Object.fromEntries(crowdings.map((crowding) => [crowding, crowding])),
  loose: 'half empty',
  normal: 'about full',
}

/** A row of the file as one print, and where it is found again in the plates. */
export type ReadRows = {
  plates: Plate[]
  /** by row of the file, the header left out: its plate, and its place among the plate's prints */
  places: { plate: string; print: number }[]
  /** the words that the file has for how full a plate was */
  words: ReadonlyMap<Crowding, string>
}

/** What one row tells: a plate of one print, which others may join. */
type Row = { key: string | undefined; print: Print; period: string; crowding: Crowding; word: string; day: number }

/**
 * Plates from rows of cells: six fixed columns, perhaps `plate` and `day`, then one a label with the copies that failed so.
 *
 * @param rows header first
 * @throws Malformed naming row and column
 */
export function platesFromRows(rows: readonly string[][], labels: LabelTable): ReadRows {
  const [header = [], ...body] = rows
  const columns = columnsOf(header, labels)
  if (body.length === 0) throw Malformed.at(2, fixedColumns[0], 'there are no reports')
  const read = body.map((cells, index) => readRow(cells, columns, index + 2))
  expectOneSculptorALine(read)
  return joined(read)
}

type Columns = { header: readonly string[]; at: Record<Fixed, number>; plate: number; day: number; seen: string[] }

function columnsOf(header: readonly string[], labels: LabelTable): Columns {
  const isOptional = (name: string) => optionalColumns.some((optional) => optional === name)
  const fixed: number[] = []
  let at = 0
  for (; at < header.length; at++) {
    const name = header[at] ?? ''
    const expected = fixedColumns[fixed.length]
    // A label may have the name of a column; it is one where the table has it and what is fixed is over.
    const isOver = expected === undefined
    if (isOptional(name) && !(isOver && Object.hasOwn(labels, name))) continue
    if (isOver) break
    if (name !== expected) throw Malformed.at(1, at + 1, `expected ${JSON.stringify(expected)}`)
    fixed.push(at)
  }
  const missing = fixedColumns[fixed.length]
  if (missing !== undefined) throw Malformed.at(1, at + 1, `expected ${JSON.stringify(missing)}`)
  const before = header.slice(0, at)
  for (const name of optionalColumns) if (before.indexOf(name) !== before.lastIndexOf(name)) throw twice(name)
  const seen = header.slice(at)
  for (const name of seen) expectLabel(name, seen, labels)
  return {
    header,
    at: Object.fromEntries(fixedColumns.map((name, index) => [name, fixed[index]])) as Record<Fixed, number>,
    plate: before.indexOf('plate'),
    day: before.indexOf('day'),
    seen,
  }
}

const twice = (name: string) => Malformed.at(1, name, 'the column is there twice')

function expectLabel(name: string, seen: readonly string[], labels: LabelTable): void {
  if (!Object.hasOwn(labels, name) && name !== unknown) throw Malformed.at(1, name, 'unknown label')
  if (seen.indexOf(name) !== seen.lastIndexOf(name)) throw twice(name)
}

function readRow(cells: readonly string[], { header, at, plate, day, seen }: Columns, row: number): Row {
  if (cells.length < header.length) throw Malformed.at(row, header[cells.length] ?? cells.length + 1, 'missing')
  if (cells.length > header.length) throw Malformed.at(row, header.length + 1, 'more cells than the header has columns')
  const cell = (column: number) => cells[column] ?? ''
  for (const name of names) if (cell(at[name]).trim() === '') throw Malformed.at(row, name, 'empty')
  const first = header.length - seen.length
  const failures = seen.map((label, index) => ({ seen: label, copies: copiesOf(cell(first + index), row, label) }))
  const word = cell(at.crowding)
  return {
    key: plate >= 0 && cell(plate) !== '' ? cell(plate) : undefined,
    print: {
      line: cell(at.supportSet),
      sculptor: cell(at.sculptor),
      good: copiesOf(cell(at.good), row, 'good'),
      failures: failures.filter(({ copies }) => copies > 0),
    },
    period: `${cell(at.printer)}/${cell(at.period)}`,
    crowding: crowdingOf(word, row),
    word,
    day: day >= 0 ? dayOf(cell(day), row) : row,
  }
}

function crowdingOf(word: string, row: number): Crowding {
  const crowding = Object.hasOwn(crowdingOfWord, word) ? crowdingOfWord[word] : undefined
  if (!crowding)
    throw Malformed.at(row, 'crowding', `${JSON.stringify(word)} is none of ${Object.keys(crowdingOfWord).join(', ')}`)
  return crowding
}

function dayOf(text: string, row: number): number {
  const day = Number(text)
  if (text.trim() === '' || !Number.isFinite(day))
    throw Malformed.at(row, 'day', `${JSON.stringify(text)} is not a number`)
  return day
}

function copiesOf(text: string, row: number, column: string): number {
  if (!/^\d{1,7}$/.test(text) || Number(text) > mostCopies) {
    throw Malformed.at(row, column, `${JSON.stringify(text)} is not a whole number from 0 to ${mostCopies}`)
  }
  return Number(text)
}

function expectOneSculptorALine(rows: readonly Row[]): void {
  const sculptorOf = new Map<string, string>()
  rows.forEach(({ print: { line, sculptor } }, index) => {
    const known = sculptorOf.get(line) ?? sculptor
    if (known !== sculptor) {
      throw Malformed.at(index + 2, 'sculptor', `support set ${JSON.stringify(line)} was another sculptor's before`)
    }
    sculptorOf.set(line, sculptor)
  })
}

/** A row of a plate, and where it stood in the file. */
type Placed = Row & { index: number }

/**
 * Rows of one plate put together. A plate is known by its period and its name, a row without one by what it tells: so
 * plates of one day, and the prints of a plate, have an order that is not the file's.
 */
function joined(rows: readonly Row[]): ReadRows {
  const placed = rows.map((row, index) => ({ ...row, index }))
  const onPlate = Map.groupBy(placed, idOf)
  const places: ReadRows['places'] = []
  const plates = Array.from(onPlate, ([id, together]) => {
    const [first, ...others] = together.toSorted((one, other) => compareText(contentOf(one), contentOf(other)))
    if (!first) throw new Error('a plate without rows')
    const odd = others.find(({ crowding }) => crowding !== first.crowding)
    if (odd) throw Malformed.at(odd.index + 2, 'crowding', 'the plate is said to be otherwise in another row')
    const prints = [first, ...others].map(({ print, index }, place) => {
      places[index] = { plate: id, print: place }
      return print
    })
    const day = Math.min(...together.map((row) => row.day))
    return { id, period: first.period, crowding: first.crowding, day, prints }
  })
  return { plates, places, words: new Map(rows.map(({ crowding, word }) => [crowding, word])) }
}

/** Plates of one day stand by their ids, so that 9 has to come before 10. */
function idOf(row: Placed): string {
  const numbered = row.key?.replaceAll(/\d+/g, (digits) => digits.padStart(15, '0'))
  return JSON.stringify([row.period, numbered, row.key ?? [contentOf(row), row.index]])
}

function contentOf({ print, crowding }: Placed): string {
  return JSON.stringify([print, crowding])
}
