import { type Fit, fitReports } from '../../server/scoring/fit.ts'
import type { Stage } from '../../server/scoring/labels.ts'
import { asOutside, referenceJson, seriesLabels } from './reference.ts'

export type ExactCase = { name: string; good: number; bad: number[] } & Record<
  Stage,
  { mean: number; sd: number; q10: number; q90: number; eInv: number }
>

/** One set, one printer, one plate, by exact enumeration. */
export const exactCases = referenceJson<ExactCase[]>('one-set-one-printer.json')

const labels = Object.keys(seriesLabels)

/** The file's prior is Beta(8.5, 1.5) there: a sculptor whose mean is certain. */
const certainSculptor = { mu0: 0.85, k0: 1e9, k: 10, am: 9, bm: 1 }

/** The case as a report on set `s`, period `m` and a normal plate. */
export function fitCase({ good, bad }: ExactCase): Fit {
  const failures = bad.map((copies, label) => ({ seen: labels[label] ?? '', copies }))
  const report = { supportSet: 's', group: 'g', printerPeriod: 'm', crowding: 'normal' as const, good, failures }
  return fitReports([report], { ...asOutside, hyper: certainSculptor, tolerance: 1e-6, maxSweeps: 500 })
}
