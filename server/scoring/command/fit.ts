import { parseArgs } from 'node:util'
import { fitReports } from '../fit.ts'
import { seenLabels } from '../labels.ts'
import { startingRho } from '../priors.ts'
import type { Success } from '../success.ts'
import { Malformed } from './malformed.ts'
import { readLabels, readReports } from './read-files.ts'

const usage = 'usage: fit FILE.csv [--labels LABELS.json] [--hold]'

/** Fits the print reports of a file, without any database, and prints what comes out as JSON. */
function main(): void {
  const { file, labelsFile, hold } = readArguments()
  const labels = labelsFile === undefined ? seenLabels : readLabels(labelsFile)
  const reports = readReports(file, labels)
  const started = performance.now()
  const fitted = fitReports(reports, { hold, rho: hold ? 0 : startingRho, labels, tolerance: 1e-4 })
  const { supportSets, printerPeriods, plates, samples } = fitted.successes()
  const ms = Math.round(10 * (performance.now() - started)) / 10
  const results = {
    supportSets: byName(supportSets),
    printerPeriods: byName(printerPeriods),
    plates: byName(Object.entries(plates)),
    hyper: fitted.hyper,
    sweeps: fitted.sweeps,
    samples,
    ms,
  }
  console.log(JSON.stringify(results, null, 2))
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

function byName(successes: Iterable<[name: string, success: Success]>) {
  return Object.fromEntries(
    Array.from(successes, ([name, { mean, low, high, shape }]) => [name, { mean, low, high, shape }]),
  )
}

try {
  main()
} catch (error) {
  if (!(error instanceof Malformed)) throw error
  console.error(error.message.replaceAll(/\s+/g, ' '))
  process.exitCode = 2
}
