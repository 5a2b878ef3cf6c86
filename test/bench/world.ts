import { type Seen, seen, seenLabels } from '../../server/scoring/labels.ts'
import { crowdings } from '../../server/scoring/model.ts'
import type { Plate, Print } from '../../server/scoring/plates.ts'
import { Random } from '../../server/scoring/random.ts'

export type Size = { plates: number; lines: number; periods: number; seed: number }

/** As many lines and printer periods a plate as in a group of a million plates. */
export const sizeOf = (plates: number): Size => ({
  plates,
  seed: 1,
  lines: Math.max(10, Math.round(plates / 10)),
  periods: Math.max(10, Math.round(plates / 33)),
})

/** What the scoring is to find out; `fades` tells after how many plates a film is worn. */
type Truth = { line: Float64Array; period: Float64Array; fades: Int32Array; printed: Int32Array }

const linesOfSculptor = 6
const plateSuccess = [0.98, 0.95, 0.9]
const wornSuccess = 0.5
/** A film's life in plates, on average; most periods end before. */
const life = 60
const told = seen.filter((label) => label !== "don't know")
/** So many failed copies in a hundred are reported without a word on what was seen. */
const unknown = 0.2

/**
 * An invented group of any size, one plate at a time and always the same: a sculptor has six lines that do about as well
 * as each other (means around .85), a printer period succeeds around .95 until its film is worn, plates in .98, .95 and .9
 * of cases; one line, and one printer, is reported on some twenty times as often as another. A plate holds one print, every
 * fourth one a second, of one to eight copies each; a failed one shows one of the stages that failed, and in a fifth of
 * cases nobody knows what was seen.
 */
export function* platesOf(size: Size): Generator<Plate> {
  const random = new Random(size.seed)
  const truth = truthOf(size, random)
  for (let id = 0; id < size.plates; id++) yield plateOf(nameOf('4', id), truth, random)
}

function truthOf({ lines, periods }: Size, random: Random): Truth {
  let sculptor = 0
  const line = Float64Array.from({ length: lines }, (_, index) => {
    if (index % linesOfSculptor === 0) sculptor = random.beta(8.5, 1.5)
    return random.beta(10 * sculptor, 10 * (1 - sculptor))
  })
  return {
    line,
    period: Float64Array.from({ length: periods }, () => random.beta(28.5, 1.5)),
    fades: Int32Array.from({ length: periods }, () => Math.ceil(-life * Math.log(random.uniform()))),
    printed: new Int32Array(periods),
  }
}

function plateOf(id: string, truth: Truth, random: Random): Plate {
  const period = often(random, truth.period.length)
  const crowding = Math.floor(3 * random.uniform())
  const day = (truth.printed[period] ?? 0) + 1
  truth.printed[period] = day
  const machine = day > (truth.fades[period] ?? 0) ? wornSuccess : (truth.period[period] ?? 0)
  const print = () => printOf(truth, machine, plateSuccess[crowding] ?? 0, random)
  const prints = random.uniform() < 0.25 ? [print(), print()] : [print()]
  return { id, period: nameOf('7', period), crowding: crowdings[crowding] ?? 'about full', day, prints }
}

function printOf(truth: Truth, machine: number, plate: number, random: Random): Print {
  const line = often(random, truth.line.length)
  const chances = [truth.line[line] ?? 0, machine, plate]
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
    line: nameOf('5', line),
    sculptor: nameOf('6', Math.floor(line / linesOfSculptor)),
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
    rest -= seenLabels[label as keyof typeof seenLabels][stage] ?? 0
    if (rest < 0) return label
  }
  return "don't know"
}

/** A name as long as the database's, and in one piece, as a driver would hand it over. */
function nameOf(kind: string, number: number): string {
  return Buffer.from(`${kind.repeat(8)}-0000-4000-8000-${number.toString(16).padStart(12, '0')}`).toString('latin1')
}
