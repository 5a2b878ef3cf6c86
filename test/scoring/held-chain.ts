import { Chain } from '../../server/scoring/chain.ts'
import { tableOf } from '../../server/scoring/labels.ts'
import { layOut, PlateColumns } from '../../server/scoring/layout.ts'
import { tieOf } from '../../server/scoring/model.ts'
import type { Plate } from '../../server/scoring/plates.ts'
import { Random } from '../../server/scoring/random.ts'
import { startingState } from '../../server/scoring/state.ts'
import { quantile, seriesLabels } from './reference.ts'

/** The file's prior is Beta(8.5, 1.5) where the mean of its sculptor is certain. */
const certainSculptor = { mu0: 0.85, k0: 1e9, k: 10, am: 9, bm: 1 }

export type Sampled = { mean: number; q10: number; q90: number }

/**
 * Posterior of the first line, the first machine and an about full plate, with everything else known.
 *
 * @param rho correlation of a plate's copies at every stage
 */
export function sampleHeld(plates: readonly Plate[], rho: number, sweeps: number) {
  const table = tableOf(seriesLabels, false)
  const layout = layOut(new PlateColumns(table.labels, plates))
  const random = new Random(1)
  const start = startingState(layout, table, random, { held: certainSculptor })
  start.tie.fill(tieOf(rho))
  const chain = new Chain(layout, start, table, random)
  for (let sweep = 0; sweep < sweeps / 10; sweep++) chain.sweep()
  const drawn = { file: [] as number[], machine: [] as number[], plate: [] as number[] }
  for (let sweep = 0; sweep < sweeps; sweep++) {
    chain.sweep()
    drawn.file.push(start.file.pass[0] ?? Number.NaN)
    drawn.machine.push(start.machine.pass[0] ?? Number.NaN)
    drawn.plate.push(start.plate.pass[1] ?? Number.NaN)
  }
  return { file: sampled(drawn.file), machine: sampled(drawn.machine), plate: sampled(drawn.plate) }
}

function sampled(values: number[]): Sampled {
  const sorted = values.toSorted((one, other) => one - other)
  return {
    mean: values.reduce((sum, value) => sum + value, 0) / values.length,
    q10: quantile(sorted, 0.1),
    q90: quantile(sorted, 0.9),
  }
}
