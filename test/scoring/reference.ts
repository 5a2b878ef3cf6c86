import { readFileSync } from 'node:fs'
import type { LabelTable } from '../../server/scoring/labels.ts'
import { type Crowding, crowdings } from '../../server/scoring/model.ts'
import type { Plate } from '../../server/scoring/plates.ts'

/** Where the outside numbers are; README.md there names their sources. */
export const referenceFolder = new URL('../reference/scoring/', import.meta.url)

export function referenceText(name: string): string {
  return readFileSync(new URL(name, referenceFolder), 'utf8')
}

export function referenceJson<Content>(name: string): Content {
  return JSON.parse(referenceText(name)) as Content
}

/** Cells of a file without quotes or commas in them, its header left out. */
export function referenceRows(name: string): string[][] {
  const [, ...lines] = referenceText(name).trim().split('\n')
  return lines.map((line) => line.split(','))
}

export type Posterior = { mean: number; sd: number; low: number; high: number }

export const seriesLabels = referenceJson<LabelTable>('series-a.labels.json')

/** How the outside programs call a plate, by how full it is. */
const crowdingOf: Readonly<Record<string, Crowding>> = {
  loose: crowdings[0],
  normal: crowdings[1],
  packed: crowdings[2],
}

/** The outside's reports, each a plate of one print. */
export const seriesPlates: readonly Plate[] = referenceRows('series-a.csv').map((cells, row) => {
  const [line = '', sculptor = '', printer, period, crowding = '', good, ...failed] = cells
  const failures = Object.keys(seriesLabels).map((seen, label) => ({ seen, copies: Number(failed[label]) }))
  return {
    id: `row ${row}`,
    period: `${printer}/${period}`,
    day: row,
    crowding: crowdingOf[crowding] ?? crowdings[1],
    prints: [{ line, sculptor, good: Number(good), failures }],
  }
})

/** @param sorted ascending and long, so that between which two values hardly matters */
export function quantile(sorted: readonly number[], chance: number): number {
  return sorted[Math.floor(chance * sorted.length)] ?? Number.NaN
}
