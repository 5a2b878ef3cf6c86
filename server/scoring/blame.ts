// biome-ignore-all lint/style/noNonNullAssertion: draws indexed within their bounds by construction
import type { Draws } from './draws.ts'
import type { GroupDraws } from './group-draws.ts'
import { chancesBySet, sizeOfSet, stageSets } from './labels.ts'
import { type Crowding, wornPrior } from './model.ts'
import { Random } from './random.ts'

/** How much each stage is to blame for failed copies; the three add up to 1. */
export type Blame = { file: number; machine: number; plate: number }

/** Copies of one line on a plate that is to be judged. */
export type JudgedPrint = { file: Draws; good: number; failures: readonly { seen: string; copies: number }[] }

export type JudgedPlate = {
  crowding: Crowding
  /** the machine at its last plate before this one */
  machine: Draws
  prints: readonly JudgedPrint[]
  group: GroupDraws
}

/** Of every draw, so many ways in which the plate may have come about. */
const particlesPerDraw = 4

/**
 * Whose fault the failed copies of one plate were, by the kept draws and this plate alone, for a plate that no fit has
 * read yet. Each draw is taken along the plate's copies one by one: it is weighed by how likely it makes each outcome,
 * and for a failed copy the stages are drawn that failed (sequential importance sampling). The machine's wear may begin
 * with this very plate.
 *
 * @returns the plate's shares, and each print's in their order; null for a print of which nothing failed
 * @see Kong, Liu & Wong (1994), Sequential imputations and Bayesian missing data problems, JASA 89, 278-288
 */
export function blameOfPlate(plate: JudgedPlate): { plate: Blame | null; prints: (Blame | null)[] } {
  const { group, prints } = plate
  const draws = prints[0]?.file.length ?? 0
  const random = new Random(1)
  const way = new Way(plate)
  const logs = new Float64Array(particlesPerDraw * draws)
  const shares = new Float64Array(logs.length * way.shares.length)
  for (let particle = 0; particle < logs.length; particle++) {
    const draw = Math.floor(particle / particlesPerDraw)
    if (particle % particlesPerDraw === 0) way.take(draw)
    // Half of the particles let the wear begin here, so that what is unlikely beforehand is tried often enough.
    const begins = particle % 2 === 1
    const hazard = group.hazard[draw]!
    const log = way.follow(begins ? random.beta(...wornPrior) : plate.machine[draw]!, random)
    logs[particle] = log + Math.log(begins ? hazard : 1 - hazard)
    shares.set(way.shares, particle * way.shares.length)
  }
  const sums = weighedSums(logs, shares, way.shares.length)
  const total = [0, 1, 2].map((stage) => prints.reduce((sum, _, print) => sum + sums[3 * print + stage]!, 0))
  return {
    plate: blameOfSums(total),
    prints: prints.map(({ failures }, print) => {
      return failures.some(({ copies }) => copies > 0) ? blameOfSums(sums.slice(3 * print, 3 * print + 3)) : null
    }),
  }
}

/** Sums of the particles' shares, each weighed by how likely its way was. */
function weighedSums(logs: Float64Array, shares: Float64Array, count: number): number[] {
  const most = logs.reduce((highest, log) => Math.max(highest, log), Number.NEGATIVE_INFINITY)
  const sums = new Array<number>(count).fill(0)
  logs.forEach((log, particle) => {
    const weight = Math.exp(log - most)
    for (let place = 0; place < count; place++) sums[place]! += weight * shares[particle * count + place]!
  })
  return sums
}

function blameOfSums(sums: readonly number[]): Blame | null {
  const [file = 0, machine = 0, plate = 0] = sums
  const all = file + machine + plate
  return all > 0 ? { file: file / all, machine: machine / all, plate: plate / all } : null
}

/** Products are turned into logarithms before they leave the range of numbers. */
const smallest = 1e-200

/** One way after another in which a plate may have come about. The same numbers are used for all: there are many. */
class Way {
  /** of the last way, how much of each print's failed copies each stage has to answer for: three a print */
  readonly shares: Float64Array
  readonly #plate: JudgedPlate
  readonly #chances: Float64Array
  readonly #weights = new Float64Array(stageSets)
  readonly #file = new Urn()
  readonly #machine = new Urn()
  readonly #crowding = new Urn()
  #draw = 0
  #log = 0
  #product = 1

  constructor(plate: JudgedPlate) {
    this.#plate = plate
    this.shares = new Float64Array(3 * plate.prints.length)
    this.#chances = new Float64Array(stageSets * (plate.group.labels.length + 1))
  }

  /** Goes on to another draw of what the group is like. */
  take(draw: number): void {
    const { byCause, blind, labels } = this.#plate.group
    this.#draw = draw
    chancesBySet(
      byCause.subarray(3 * labels.length * draw, 3 * labels.length * (draw + 1)),
      blind[draw]!,
      this.#chances,
    )
  }

  /** @returns the logarithm of how likely the plate was, along a way that is drawn */
  follow(machine: number, random: Random): number {
    const { prints, crowding, group } = this.#plate
    const [fileTies, machineTies, plateTies] = group.ties
    const draw = this.#draw
    this.#machine.begin(machine, machineTies[draw]!)
    this.#crowding.begin(group.plates[crowding][draw]!, plateTies[draw]!)
    this.shares.fill(0)
    this.#log = 0
    this.#product = 1
    for (let print = 0; print < prints.length; print++) {
      const { file, good, failures } = prints[print]!
      this.#file.begin(file[draw]!, fileTies[draw]!)
      // Failed copies first: copies of a print may come in any order, and those that failed say more.
      for (const { seen, copies } of failures) {
        const label = group.labels.indexOf(seen)
        const row = stageSets * (label < 0 ? group.labels.length : label)
        for (let copy = 0; copy < copies; copy++) this.#times(this.#fail(row, print, random))
      }
      for (let copy = 0; copy < good; copy++) this.#times(this.#pass())
    }
    return this.#log + Math.log(this.#product)
  }

  #times(chance: number): void {
    this.#product *= Math.max(chance, Number.MIN_VALUE)
    if (this.#product > smallest) return
    this.#log += Math.log(this.#product)
    this.#product = 1
  }

  #pass(): number {
    const chance = this.#file.next * this.#machine.next * this.#crowding.next
    this.#file.passed++
    this.#machine.passed++
    this.#crowding.passed++
    return chance
  }

  /** @returns how likely a copy fails and shows its label; the stages that are drawn to have failed get their shares */
  #fail(row: number, print: number, random: Random): number {
    const [file, machine, plate] = [this.#file.next, this.#machine.next, this.#crowding.next]
    const weights = this.#weights
    let sum = 0
    for (let set = 1; set < stageSets; set++) {
      sum += weights[set] =
        this.#chances[row + set]! *
        (set & 1 ? 1 - file : file) *
        (set & 2 ? 1 - machine : machine) *
        (set & 4 ? 1 - plate : plate)
    }
    const set = random.index(weights)
    const share = 1 / sizeOfSet[set]!
    this.#file.add((set & 1) !== 0)
    this.#machine.add((set & 2) !== 0)
    this.#crowding.add((set & 4) !== 0)
    for (let stage = 0; stage < 3; stage++) if (set & (1 << stage)) this.shares[3 * print + stage]! += share
    return sum
  }
}

/** A plate's copies at one stage. */
class Urn {
  passed = 0
  failed = 0
  #pass = 0
  #tie = 0

  begin(pass: number, tie: number): void {
    this.#pass = pass
    this.#tie = tie
    this.passed = 0
    this.failed = 0
  }

  /** Chance that the next copy passes. */
  get next(): number {
    return (this.#pass + this.#tie * this.passed) / (1 + this.#tie * (this.passed + this.failed))
  }

  add(isFailed: boolean): void {
    if (isFailed) this.failed++
    else this.passed++
  }
}
