import { parseArgs } from 'node:util'
import { drawsOf, keptOf, meanOf, summaryOf } from '../scoring/draws.ts'
import { type Fitted, fitGroup } from '../scoring/fit.ts'
import { type LabelTable, seenLabels } from '../scoring/labels.ts'
import { crowdings, startingHyper } from '../scoring/model.ts'
import { Malformed, orRefused } from './malformed.ts'
import { readLabels, readPlates } from './read-files.ts'
import type { ReadRows } from './report-rows.ts'

const usage = 'usage: fit FILE.csv [--labels LABELS.json] [--hold] [--verdicts]'

/** With `--hold` the sampler is checked against others: so many sweeps a chain, and draws that are kept of them. */
const held = { hold: true, sweeps: 10_000, kept: 4000 }

type Arguments = { file: string; labelsFile: string | undefined; hold: boolean; verdicts: boolean }

/** Fits the print reports of a file, without any database, and prints what comes out as JSON. */
function main(): void {
  const { file, labelsFile, hold, verdicts } = readArguments()
  const labels: LabelTable = labelsFile === undefined ? seenLabels : readLabels(labelsFile)
  const rows = readPlates(file, labels)
  const started = performance.now()
  const fitted = fitGroup(rows.plates, { labels, ...(hold ? held : {}) })
  const ms = Math.round(10 * (performance.now() - started)) / 10
  const { layout, group, lines, sweeps } = fitted
  const { hyper: convergence, worst } = fitted.convergence
  const results = {
    supportSets: Object.fromEntries(
      layout.lines.map((line, index) => [line, successOf(drawsOf(keptOf(lines, index, group.count)))]),
    ),
    printerPeriods: periodsOf(fitted),
    plates: Object.fromEntries(
      crowdings.map((crowding, index) => [rows.words[index], successOf(group.plates[crowding])]),
    ),
    hyper: hold ? startingHyper : hyperOf(fitted),
    sweeps,
    samples: group.count,
    rhat: Math.max(worst.rhat, ...Object.values(convergence).map(({ rhat }) => rhat)),
    ...(verdicts ? { verdicts: verdictsOf(fitted, rows.places) } : {}),
    ms,
  }
  console.log(JSON.stringify(results, null, 2))
}

function readArguments(): Arguments {
  try {
    const flag = { type: 'boolean', default: false } as const
    const options = { labels: { type: 'string' }, hold: flag, verdicts: flag } as const
    const { values, positionals } = parseArgs({ options, allowPositionals: true })
    const [file, ...others] = positionals
    if (file === undefined || others.length > 0) throw new Malformed(usage)
    return { file, labelsFile: values.labels, hold: values.hold, verdicts: values.verdicts }
  } catch (error) {
    throw error instanceof Malformed ? error : new Malformed(usage)
  }
}

/** Mean and 80 % interval of draws, and the Beta that has their mean and variance. */
function successOf(draws: Float64Array) {
  const { mean, low, high } = summaryOf(draws)
  const second = meanOf(draws.map((value) => value * value))
  const variance = Math.max(second - mean * mean, 1e-12)
  const moment = Math.min(mean * mean + variance, mean - 1e-15)
  const n = (mean - moment) / (moment - mean * mean)
  return { mean, low, high, shape: [mean * n, (1 - mean) * n] }
}

/** Every period at its last plate: its success, the chance that the machine was worn, and since which plate if it was. */
function periodsOf({ layout, group, periods, worn }: Fitted) {
  return Object.fromEntries(
    layout.periods.map((period, index) => {
      const success = successOf(drawsOf(keptOf(periods, index, group.count)))
      const ofPlates = worn.subarray(layout.periodStart[index], layout.periodStart[index + 1])
      const begins = Array.from(ofPlates, (chance, plate) => chance - (ofPlates[plate - 1] ?? 0))
      return [period, { ...success, worn: ofPlates.at(-1) ?? 0, wornSince: begins.indexOf(Math.max(...begins)) }]
    }),
  )
}

/** Means over the draws, on the scales on which they are drawn. */
function hyperOf({ group: { mu0, k0, k, am, bm } }: Fitted) {
  const geometric = (values: Float64Array) => Math.exp(meanOf(values.map(Math.log)))
  const logit = meanOf(mu0.map((mean) => Math.log(mean / (1 - mean))))
  return { mu0: 1 / (1 + Math.exp(-logit)), k0: geometric(k0), k: geometric(k), am: geometric(am), bm: geometric(bm) }
}

/** By row with failures, counted from 1 without the header: whose fault they were. */
function verdictsOf({ layout, blame }: Fitted, places: ReadRows['places']) {
  const plateAt = new Map(layout.plateIds.map((id, index) => [id, index]))
  return Object.fromEntries(
    places.flatMap(({ plate, print }, row) => {
      const at = (layout.plateStart[plateAt.get(plate) ?? 0] ?? 0) + print
      if (layout.printStart[at] === layout.printStart[at + 1]) return []
      const [file, machine] = [blame.file[at] ?? 0, blame.machine[at] ?? 0]
      return [[row + 1, { file, machine, plate: Math.max(0, 1 - file - machine) }]]
    }),
  )
}

await orRefused(main)
