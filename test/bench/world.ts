import { type Seen, seen, seenLabels } from '../../server/scoring/labels.ts'
import { crowdings } from '../../server/scoring/priors.ts'
import { Random } from '../../server/scoring/random.ts'
import type { Report } from '../../server/scoring/reports.ts'

export type Size = { reports: number; sets: number; periods: number; seed: number }

/** What the scoring is to find out. */
type Truth = { set: Float64Array; period: Float64Array }

const setsOfSculptor = 6
const plateSuccess = [0.98, 0.95, 0.9]
const told = seen.filter((label) => label !== "don't know")
/** So many failed copies in a hundred are reported without a word on what was seen. */
const unknown = 0.2

/**
 * An invented group of any size, one report at a time and always the same: a sculptor has six support sets that do about
 * as well as each other (means around .85), a tenth of the printer periods are worn (around .65, the others around .95),
 * plates succeed in .98, .95 and .9 of cases; one set, and one printer, is reported on some twenty times as often as
 * another. A report is of one to eight copies, each of which passes or fails each stage by itself; a failed one shows
 * one of the stages that failed, and in a fifth of cases nobody knows what was seen.
 */
export function* reportsOf(size: Size): Generator<Report & { id: string }> {
  const random = new Random(size.seed)
  const truth = truthOf(size, random)
  for (let id = 0; id < size.reports; id++) yield { id: nameOf('4', id), ...reportOf(truth, random) }
}

function truthOf({ sets, periods }: Size, random: Random): Truth {
  let sculptor = 0
  const set = Float64Array.from({ length: sets }, (_, index) => {
    if (index % setsOfSculptor === 0) sculptor = beta(random, 10, 0.85)
    return beta(random, 10, sculptor)
  })
  const period = Float64Array.from({ length: periods }, () => {
    return random.uniform() < 0.1 ? beta(random, 10, 0.65) : beta(random, 30, 0.95)
  })
  return { set, period }
}

function beta(random: Random, size: number, mean: number): number {
  const odds = Math.exp(random.logGamma(size * (1 - mean)) - random.logGamma(size * mean))
  return 1 / (1 + odds)
}

function reportOf(truth: Truth, random: Random): Report {
  const set = often(random, truth.set.length)
  const period = often(random, truth.period.length)
  const plate = Math.floor(3 * random.uniform())
  const chances = [truth.set[set] ?? 0, truth.period[period] ?? 0, plateSuccess[plate] ?? 0]
  const copies = 1 + Math.floor(8 * random.uniform() ** 2)
  const failures = new Map<Seen, number>()
  let good = 0
  for (let copy = 0; copy < copies; copy++) {
    const failed = [0, 1, 2].filter((stage) => random.uniform() > (chances[stage] ?? 0))
    if (failed.length === 0) good++
    else {
      const label = labelOf(failed[Math.floor(failed.length * random.uniform())] ?? 0, random)
      failures.set(label, 1 + (failures.get(label) ?? 0))
    }
  }
  return {
    supportSet: nameOf('5', set),
    group: nameOf('6', Math.floor(set / setsOfSculptor)),
    printerPeriod: nameOf('7', period),
    crowding: crowdings[plate] ?? 'normal',
    good,
    failures: Array.from(failures, ([label, number]) => ({ seen: label, copies: number })),
  }
}

/** One of so many, the first ones more often: the density falls as the inverse square root. */
function often(random: Random, count: number): number {
  return Math.floor(count * random.uniform() ** 2)
}

function labelOf(stage: number, random: Random): Seen {
  if (random.uniform() < unknown) return "don't know"
  let rest = random.uniform()
  for (const label of told) {
    rest -= seenLabels[label][stage] ?? 0
    if (rest < 0) return label
  }
  return "don't know"
}

/** A name as long as the database's, and in one piece, as a driver would hand it over. */
function nameOf(kind: string, number: number): string {
  return Buffer.from(`${kind.repeat(8)}-0000-4000-8000-${number.toString(16).padStart(12, '0')}`).toString('latin1')
}

/** The number in a name. */
export function numberOf(name: string): number {
  return Number.parseInt(name.slice(-12), 16)
}
