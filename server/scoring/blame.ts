// biome-ignore-all lint/style/noNonNullAssertion: draws indexed within their bounds by construction
import type { Draws, GroupDraws } from './draws.ts'
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
  const random = new Random(1)
  const { file, group } = { file: plate.prints[0]?.file, group: plate.group }
  const failed = plate.prints.map(({ failures }) => failures.reduce((sum, { copies }) => sum + copies, 0))
  const sums = plate.prints.map(() => [0, 0, 0])
  const chances = new Float64Array(stageSets * (group.labels.length + 1))
  const particles: { log: number; shares: number[][] }[] = []
  for (let draw = 0; draw < (file?.length ?? 0); draw++) {
    const row = group.byCause.subarray(3 * group.labels.length * draw, 3 * group.labels.length * (draw + 1))
    chancesBySet(row, group.blind[draw]!, chances)
    const hazard = group.hazard[draw]!
    for (let particle = 0; particle < particlesPerDraw; particle++) {
      // Half of the particles let the wear begin here, so that what is unlikely beforehand is tried often enough.
      const begins = particle % 2 === 1
      const machine = begins ? random.beta(...wornPrior) : plate.machine[draw]!
      const way = follow(plate, draw, machine, chances, random)
      particles.push({ log: way.log + Math.log(begins ? hazard : 1 - hazard), shares: way.shares })
    }
  }
  const most = particles.reduce((highest, { log }) => Math.max(highest, log), Number.NEGATIVE_INFINITY)
  for (const { log, shares } of particles) {
    const weight = Math.exp(log - most)
    shares.forEach((share, print) => {
      share.forEach((value, stage) => {
        sums[print]![stage]! += weight * value
      })
    })
  }
  const total = [0, 1, 2].map((stage) => sums.reduce((sum, share) => sum + share[stage]!, 0))
  return {
    plate: blameOfSums(total),
    prints: sums.map((sum, print) => (failed[print] === 0 ? null : blameOfSums(sum))),
  }
}

function blameOfSums(sums: readonly number[]): Blame | null {
  const [file = 0, machine = 0, plate = 0] = sums
  const all = file + machine + plate
  return all > 0 ? { file: file / all, machine: machine / all, plate: plate / all } : null
}

/** One way in which the plate may have come about: how likely it was, and each print's shares of the failed copies. */
function follow(
  { prints, crowding, group }: JudgedPlate,
  draw: number,
  machine: number,
  chances: Float64Array,
  random: Random,
): { log: number; shares: number[][] } {
  const [fileTie, machineTie, plateTie] = group.ties.map((tie) => tie[draw]!) as [number, number, number]
  const ofMachine = new Urn(machine, machineTie)
  const ofPlate = new Urn(group.plates[crowding][draw]!, plateTie)
  let log = 0
  const shares = prints.map(({ file, good, failures }) => {
    const urns = [new Urn(file[draw]!, fileTie), ofMachine, ofPlate] as const
    const share = [0, 0, 0]
    // Failed copies first: copies of a print may come in any order, and those that failed say more.
    for (const { seen, copies } of failures) {
      const label = group.labels.indexOf(seen)
      const row = stageSets * (label < 0 ? group.labels.length : label)
      for (let copy = 0; copy < copies; copy++) log += Math.log(fail(urns, chances, row, share, random))
    }
    for (let copy = 0; copy < good; copy++) log += Math.log(pass(urns))
    return share
  })
  return { log, shares }
}

/** A plate's copies at one stage. */
class Urn {
  #passed = 0
  #failed = 0
  readonly #pass: number
  readonly #tie: number

  constructor(pass: number, tie: number) {
    this.#pass = pass
    this.#tie = tie
  }

  /** Chance that the next copy passes. */
  get next(): number {
    return (this.#pass + this.#tie * this.#passed) / (1 + this.#tie * (this.#passed + this.#failed))
  }

  add(isFailed: boolean): void {
    if (isFailed) this.#failed++
    else this.#passed++
  }
}

type Urns = readonly [file: Urn, machine: Urn, plate: Urn]

function pass(urns: Urns): number {
  let chance = 1
  for (const urn of urns) {
    chance *= urn.next
    urn.add(false)
  }
  return chance
}

const weights = new Float64Array(stageSets)

/** @returns how likely a copy fails and shows its label; the stages that are drawn to have failed get their shares */
function fail(urns: Urns, chances: Float64Array, row: number, share: number[], random: Random): number {
  const [file, machine, plate] = urns.map((urn) => urn.next) as [number, number, number]
  let sum = 0
  for (let set = 1; set < stageSets; set++) {
    weights[set] =
      chances[row + set]! *
      (set & 1 ? 1 - file : file) *
      (set & 2 ? 1 - machine : machine) *
      (set & 4 ? 1 - plate : plate)
    sum += weights[set]!
  }
  let rest = sum * random.uniform()
  let set = 1
  while (set < stageSets - 1 && rest >= weights[set]!) rest -= weights[set++]!
  urns.forEach((urn, stage) => {
    const isFailed = (set & (1 << stage)) !== 0
    urn.add(isFailed)
    if (isFailed) share[stage]! += 1 / sizeOfSet[set]!
  })
  return Math.max(sum, Number.MIN_VALUE)
}
