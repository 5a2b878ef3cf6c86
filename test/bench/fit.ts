// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { Chain, emptySums } from '../../server/scoring/chain.ts'
import { type Fitted, fitGroup } from '../../server/scoring/fit.ts'
import { seenLabels, tableOf } from '../../server/scoring/labels.ts'
import { PlateColumns } from '../../server/scoring/layout.ts'
import { Random } from '../../server/scoring/random.ts'
import { startingState } from '../../server/scoring/state.ts'
import { bestMs, type Line, met, timed } from './measure.ts'
import { platesOf, sizeOf } from './world.ts'

/** By plates: seconds of processor time that a fit may take, and memory in MB. */
const goals: Record<number, { seconds: number; mb?: number }> = {
  1000: { seconds: 1.5 },
  10000: { seconds: 8 },
  100000: { seconds: 60 },
  1000000: { seconds: 480, mb: 1000 },
}
const mostPasses = 15

/**
 * The fit of groups of 1,000 to 1,000,000 plates (`world.ts` says how they are made up), or of the sizes given: plates in
 * columns, as they are read from a database, to draws that are kept. With `database` first, the same through PostgreSQL.
 *
 * Times are processor time of all threads, garbage collection included. Memory is the most that the process has had so
 * far, so sizes come in their order. A sweep is held against a plain pass over the memory that it reads and writes.
 */
export async function benchFit(args: string[]): Promise<boolean> {
  if (args[0] === 'database')
    return (await import('./fit-database.ts')).benchFitOfDatabase(sizesOf(args.slice(1)), goals)
  const results = sizesOf(args).map(benchOne)
  const perPlate = results.map(({ nsPerPlate }) => nsPerPlate)
  const growth: Line = {
    what: 'a sweep a plate, the slowest to the fastest size',
    value: ratio(perPlate),
    unit: 'times',
  }
  return [...results.map(({ isMet }) => isMet), met(growth)].every(Boolean)
}

const sizesOf = (args: string[]) => (args.length > 0 ? args.map(Number) : Object.keys(goals).map(Number))
const ratio = (numbers: number[]) => Math.max(...numbers) / Math.min(...numbers)

function benchOne(plates: number): { isMet: boolean; nsPerPlate: number } {
  const size = sizeOf(plates)
  console.log(`\n${plates} plates, ${size.lines} lines, ${size.periods} printer periods`)
  const columns = new PlateColumns(Object.keys(seenLabels))
  for (const plate of platesOf(size)) columns.add(plate)
  const { result: fitted, ms } = timed(() => fitGroup(columns))
  const goal = goals[plates]
  const [sweep, pass] = sweepAndPass(fitted)
  const lines: Line[] = [
    { what: 'fit', value: ms / 1000, unit: 's', ...(goal && { goal: goal.seconds }) },
    { what: 'sweeps that count, and finding the way', value: fitted.sweeps, unit: '' },
    { what: 'a sweep', value: sweep, unit: 'ms' },
    { what: 'a plain pass over the same memory', value: pass, unit: 'ms' },
    { what: 'a sweep, in passes', value: sweep / pass, unit: '', goal: mostPasses },
    { what: 'memory', value: process.resourceUsage().maxRSS / 1000, unit: 'MB', ...(goal?.mb && { goal: goal.mb }) },
    ...agreement(fitted),
  ]
  return { isMet: lines.map(met).every(Boolean), nsPerPlate: (1e6 * sweep) / plates }
}

function agreement({ convergence: { hyper, worst } }: Fitted): Line[] {
  const rhat = Math.max(...Object.values(hyper).map((one) => one.rhat))
  const size = Math.min(...Object.values(hyper).map((one) => one.effectiveSize))
  return [
    { what: 'R-hat of what the group is like, the worst', value: rhat, unit: '' },
    { what: 'effective size, the smallest', value: size, unit: '' },
    { what: 'R-hat of a line or period, the worst', value: worst.rhat, unit: '' },
  ]
}

/**
 * What one sweep that counts takes once the chain has run for a while, and what reading and writing its memory takes. Left
 * out of that memory is what a sweep has by the hundred only (reaches of proposals, weights of a period's change points),
 * and the draws, which are kept between sweeps.
 */
function sweepAndPass({ layout }: Fitted): [sweep: number, pass: number] {
  const [random, table] = [new Random(5), tableOf(seenLabels, true)]
  const chain = new Chain(layout, startingState(layout, table, random), table, random)
  const sums = emptySums(layout)
  for (let before = 0; before < 20; before++) chain.sweep()
  // Ties are drawn every third sweep.
  const three = () => {
    for (let sweep = 0; sweep < 3; sweep++) chain.sweep(sums)
  }
  const sweep = bestMs(5, three) / 3
  const [read, written] = [arraysOf(layout), arraysOf([chain.state, sums])]
  // So many at a time that they take long enough to be measured, and are compiled as the sweep is.
  const passes = Math.ceil(2e6 / layout.seen.length)
  const some = () => {
    for (let at = 0; at < passes; at++) pass(read, written)
  }
  return [sweep, bestMs(10, some) / passes]
}

/**
 * Reads what a sweep reads, once from front to back: the plates in columns. Reads and writes what it changes: all unknowns,
 * causes, events, and the sums of blame and wear. One loop serves arrays of all kinds, which takes about twice as long as
 * one for each kind would.
 */
function pass(read: readonly Numbers[], written: readonly Numbers[]): number {
  let sum = 0
  for (const numbers of read) for (let at = 0; at < numbers.length; at++) sum += numbers[at]!
  for (const numbers of written) for (let at = 0; at < numbers.length; at++) sum += numbers[at] = numbers[at]!
  return sum
}

type Numbers = Int32Array | Float64Array | Uint8Array

/** All typed arrays in an object, those of its parts included. */
function arraysOf(part: object): Numbers[] {
  return Object.values(part).flatMap((value: unknown) => {
    if (ArrayBuffer.isView(value)) return [value as Numbers]
    return typeof value === 'object' && value !== null ? arraysOf(value) : []
  })
}
