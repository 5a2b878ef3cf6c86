import { readFileSync } from 'node:fs'
import { type LabelTable, tableOf } from '../scoring/labels.ts'
import { Malformed } from './malformed.ts'
import { platesFromCsv, type ReadRows } from './report-rows.ts'

/** Reads print reports from a CSV file. @throws Malformed, beginning with the file's name */
export const readPlates = (file: string, labels: LabelTable): ReadRows =>
  readWith(file, (text) => platesFromCsv(text, labels))

/**
 * Reads other rows of the label table than our own from a JSON file: { label: [file, machine, plate], … }.
 *
 * @throws Malformed, beginning with the file's name
 */
export function readLabels(file: string): LabelTable {
  return readWith(file, (text) => {
    const rows = orMalformed('is not JSON', () => JSON.parse(text) as unknown)
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
  return Object.values(rows).every((row: unknown) => {
    return Array.isArray(row) && row.length === 3 && row.every((chance) => typeof chance === 'number')
  })
}

function readWith<Result>(file: string, read: (text: string) => Result): Result {
  try {
    const bytes = orMalformed('cannot be read', () => readFileSync(file))
    const decoder = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true })
    return read(orMalformed('is not UTF-8 text', () => decoder.decode(bytes)))
  } catch (error) {
    throw error instanceof Malformed ? new Malformed(`${file}: ${error.message}`) : error
  }
}

function orMalformed<Result>(reason: string, work: () => Result): Result {
  try {
    return work()
  } catch {
    throw new Malformed(reason)
  }
}
