import { readFileSync } from 'node:fs'
import { type LabelRow, type LabelTable, tableOf } from '../labels.ts'
import { parseCsv } from './csv.ts'
import { Malformed } from './malformed.ts'
import { platesFromRows, type ReadRows } from './report-rows.ts'

function readText(file: string): string {
  let bytes: Uint8Array
  try {
    bytes = readFileSync(file)
  } catch {
    throw new Malformed('cannot be read')
  }
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes)
  } catch {
    throw new Malformed('is not UTF-8 text')
  }
}

/**
 * Reads print reports from a CSV file.
 *
 * @throws Malformed, beginning with the file's name
 */
export function readPlates(file: string, labels: LabelTable): ReadRows {
  return namingFile(file, () => platesFromRows(parseCsv(readText(file)), labels))
}

/**
 * Reads other rows of the label table than our own from a JSON file: { label: [file, machine, plate], … }.
 *
 * @throws Malformed, beginning with the file's name
 */
export function readLabels(file: string): LabelTable {
  return namingFile(file, () => {
    const text = readText(file)
    let rows: unknown
    try {
      rows = JSON.parse(text)
    } catch {
      throw new Malformed('is not JSON')
    }
    if (!isLabelTable(rows)) throw new Malformed('must be { label: [file, machine, plate], … }, three numbers a label')
    try {
      tableOf(rows, false)
    } catch (error) {
      throw new Malformed(error instanceof Error ? error.message : String(error))
    }
    return rows
  })
}

function isLabelTable(rows: unknown): rows is LabelTable {
  if (typeof rows !== 'object' || rows === null || Array.isArray(rows)) return false
  return Object.values(rows).every(isLabelRow)
}

function isLabelRow(row: unknown): row is LabelRow {
  return Array.isArray(row) && row.length === 3 && row.every((chance) => typeof chance === 'number')
}

function namingFile<Result>(file: string, read: () => Result): Result {
  try {
    return read()
  } catch (error) {
    throw error instanceof Malformed ? new Malformed(`${file}: ${error.message}`) : error
  }
}
