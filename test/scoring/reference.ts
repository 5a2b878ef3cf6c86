import { readFileSync } from 'node:fs'
import { parseCsv } from '../../server/scoring/command/csv.ts'
import { reportsFromRows } from '../../server/scoring/command/report-rows.ts'
import { type Fit, type FitOptions, fitReports } from '../../server/scoring/fit.ts'
import type { LabelTable } from '../../server/scoring/labels.ts'
import { type Success, successOfSet } from '../../server/scoring/success.ts'

/** Where the outside numbers are; README.md there names their sources. */
export const referenceFolder = new URL('../reference/scoring/', import.meta.url)

export function referenceText(name: string): string {
  return readFileSync(new URL(name, referenceFolder), 'utf8')
}

export function referenceJson<Content>(name: string): Content {
  return JSON.parse(referenceText(name)) as Content
}

export type Posterior = { mean: number; sd: number; low: number; high: number }
export type SeriesPosterior = Record<'supportSets' | 'printerPeriods' | 'plates', Record<string, Posterior>>

export const seriesLabels = referenceJson<LabelTable>('series-a.labels.json')
export const seriesReports = reportsFromRows(parseCsv(referenceText('series-a.csv')), seriesLabels)

/** As the outside programs computed it: fixed hyperparameters, every copy in full. */
export const asOutside: FitOptions = { hold: true, rho: 0, labels: seriesLabels, tolerance: 1e-4 }

export function fitSeries(options: FitOptions = {}): Fit {
  return fitReports(seriesReports, { ...asOutside, ...options })
}

export function successIn(fit: Fit, supportSet: string): Success {
  const own = fit.supportSets.get(supportSet)
  if (!own) throw new Error(`no support set ${supportSet}`)
  const others = [...fit.supportSets].filter(([name, { group }]) => name !== supportSet && group === own.group)
  return successOfSet(
    own,
    others.map(([, total]) => total),
    fit.hyper,
  )
}
