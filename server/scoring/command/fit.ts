import { readFileSync } from 'node:fs'
import { parseArgs } from 'node:util'
import { type Fit, fitReports } from '../fit.ts'
import { chancesOf, type LabelRow, type LabelTable, seenLabels } from '../labels.ts'
import { crowdings, startingRho } from '../priors.ts'
import { type Success, successOfPeriod, successOfPlate, successOfSet } from '../success.ts'
import { parseCsv } from './csv.ts'
import { Malformed } from './malformed.ts'
import { reportsFromRows } from './report-rows.ts'

const usage = 'usage: fit FILE.csv [--labels LABELS.json] [--hold]'

/** Fits the print reports of a file, without any database, and prints what comes out as JSON. */
function main(): void {
  const { file, labelsFile, hold } = readArguments()
  const labels = labelsFile === undefined ? seenLabels : readLabels(labelsFile)
  const reports = namingFile(file, () => reportsFromRows(parseCsv(readText(file)), labels))
  const started = performance.now()
  const fitted = fitReports(reports, { hold, rho: hold ? 0 : startingRho, labels, tolerance: 1e-4 })
  const results = successes(fitted)
  const ms = Math.round(10 * (performance.now() - started)) / 10
  console.log(JSON.stringify({ ...results, hyper: fitted.hyper, sweeps: fitted.sweeps, ms }, null, 2))
}

function readArguments(): { file: string; labelsFile: string | undefined; hold: boolean } {
  try {
    const options = { labels: { type: 'string' }, hold: { type: 'boolean', default: false } } as const
    const { values, positionals } = parseArgs({ options, allowPositionals: true })
    const [file, ...others] = positionals
    if (file === undefined || others.length > 0) throw new Malformed(usage)
    return { file, labelsFile: values.labels, hold: values.hold }
  } catch (error) {
    throw error instanceof Malformed ? error : new Malformed(usage)
  }
}

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

function readLabels(file: string): LabelTable {
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
      chancesOf(rows)
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

function successes({ hyper, supportSets, printerPeriods, plates }: Fit) {
  const sets = [...supportSets]
  const othersOf = (name: string, group: string) =>
    sets.filter(([other, set]) => other !== name && set.group === group).map(([, set]) => set)
  return {
    supportSets: byName(sets.map(([name, set]) => [name, successOfSet(set, othersOf(name, set.group), hyper)])),
    printerPeriods: byName([...printerPeriods].map(([name, total]) => [name, successOfPeriod(total, hyper)])),
    plates: byName(crowdings.map((crowding) => [crowding, successOfPlate(crowding, plates[crowding])])),
  }
}

function byName(successes: [name: string, success: Success][]) {
  return Object.fromEntries(successes.map(([name, { mean, low, high, shape }]) => [name, { mean, low, high, shape }]))
}

try {
  main()
} catch (error) {
  if (!(error instanceof Malformed)) throw error
  console.error(error.message.replaceAll(/\s+/g, ' '))
  process.exitCode = 2
}
