import { parseArgs } from 'node:util'
import { fitReports } from '../fit.ts'
import { GroupFit, type GroupFitted } from '../group-fit.ts'
import { successesOfGroup } from '../group-successes.ts'
import { type LabelTable, seenLabels } from '../labels.ts'
import type { Report } from '../reports.ts'
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
  const fitted = hold ? fitReports(reports, { hold, rho: 0, labels, tolerance }) : groupFit(reports, labels)
  const successes = 'samples' in fitted ? successesOfGroup(fitted) : fitted.successes()
  const { supportSets, printerPeriods, plates, samples } = successes
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

/** Nothing moves by more than this when a fit ends. */
const tolerance = 1e-4

/** As the service fits its group at night; the file does not say who reported, so every report is another member's. */
function groupFit(reports: readonly Report<string>[], labels: LabelTable): GroupFitted {
  const group = new GroupFit({ labels, tolerance })
  reports.forEach((report, index) => {
    group.add({ ...report, id: String(index), memberId: String(index) })
  })
  return group.fit()
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
