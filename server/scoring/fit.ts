import { Chain, emptySums } from './chain.ts'
import { drawCount } from './draws.ts'
import { chains, type Fitted, fittedOf, keepDraw, roomFor } from './kept.ts'
import { type LabelTable, seenLabels, type Table, tableOf } from './labels.ts'
import { layOut, PlateColumns } from './layout.ts'
import { startingHyper } from './model.ts'
import type { Plate } from './plates.ts'
import { Random } from './random.ts'
import { type GroupState, startingState } from './state.ts'

export type { Fitted } from './kept.ts'

export type FitOptions = {
  labels?: LabelTable
  /** keeps hyperparameters and table at their start, copies independent and machines without wear: to check the sampler */
  hold?: boolean
  /** by chain, those that count; as the size of the group has it when left out */
  sweeps?: number | undefined
  /** draws to be kept, of both chains together; even */
  kept?: number
  /** twice as many sweeps, after a fit whose chains did not agree */
  longer?: boolean
  seed?: number
}

/** So many more are run before those that count, for a chain to find its way. */
const findingItsWay = 0.3
const [mostSweeps, usualSweeps, leastSweeps] = [3200, 800, 200]
/** Sweeps of small groups times their plates: verdicts differ by half as much between seeds, and a fit takes about a second. */
const sweepsOfPlates = 400_000
/** Plates up to which the usual sweeps are run. */
const usualGroup = 3000

/** How many sweeps of each chain count, by size of the group. */
export function sweepsFor(plates: number): number {
  if (plates * usualSweeps <= sweepsOfPlates)
    return Math.round(Math.min(mostSweeps, sweepsOfPlates / Math.max(1, plates)))
  return Math.round(Math.max(leastSweeps, usualSweeps * Math.min(1, Math.sqrt(usualGroup / plates))))
}

/**
 * Samples a group's posterior by two chains that start from the priors. Always the same seed, and plates are put in order
 * first, so that the same plates give the same figures.
 *
 * @param plates a list, or for a large group their columns, with the same labels
 * @throws RangeError for plates or labels that make no sense
 */
export function fitGroup(plates: readonly Plate[] | PlateColumns, options: FitOptions = {}): Fitted {
  const { labels = seenLabels, hold = false, longer = false, seed = 1 } = options
  const table = tableOf(labels, !hold)
  const columns = plates instanceof PlateColumns ? plates : new PlateColumns(table.labels, plates)
  const layout = layOut(columns)
  const counted = (options.sweeps ?? sweepsFor(layout.plateIds.length)) * (longer ? 2 : 1)
  const before = Math.ceil(findingItsWay * counted)
  const kept = roomFor(layout, table.labels, options.kept ?? drawCount)
  const each = kept.group.count / chains
  const sums = emptySums(layout)
  for (let chain = 0; chain < chains; chain++) {
    const random = new Random(seed + 7919 * chain)
    const start = hold ? { held: startingHyper } : { found: findTheGroup(columns, table, random) }
    const sampler = new Chain(layout, startingState(layout, table, random, start), table, random)
    for (let sweep = 0; sweep < before; sweep++) sampler.sweep()
    for (let sweep = 0; sweep < counted; sweep++) {
      sampler.sweep(sums)
      const from = Math.floor((sweep * each) / counted)
      const to = Math.floor(((sweep + 1) * each) / counted)
      for (let place = from; place < to; place++) keepDraw(kept, chain * each + place, sampler.state, random)
    }
  }
  return fittedOf(kept, sums, chains * counted, chains * (before + counted))
}

/** Parts of a large group on which a chain finds its way first, by their plates; and how many sweeps it takes there. */
const parts = [
  { plates: 2500, sweeps: 400 },
  { plates: 20_000, sweeps: 120 },
] as const
/** A part is worth it where the whole is so many times as large. */
const muchLarger = 2

/**
 * What a large group as a whole is like, from the priors by way of its parts: a sweep moves that the less the more plates
 * there are, and takes the longer. A part is every so-manieth upkeep period with all of its plates.
 */
function findTheGroup(columns: PlateColumns, table: Table, random: Random): GroupState | undefined {
  let found: GroupState | undefined
  const { length } = columns.plateIds
  for (const { plates, sweeps } of parts.filter((part) => length >= muchLarger * part.plates)) {
    const layout = layOut(columns, Math.ceil(length / plates))
    const chain = new Chain(layout, startingState(layout, table, random, { found }), table, random)
    for (let sweep = 0; sweep < sweeps; sweep++) chain.sweep()
    found = chain.state
  }
  return found
}
