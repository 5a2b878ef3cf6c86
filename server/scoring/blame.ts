// biome-ignore-all lint/style/noNonNullAssertion: draws indexed within their bounds by construction
import type { Draws } from './draws.ts'
import type { GroupDraws } from './group-draws.ts'
import { chancesBySet, sizeOfSet, stageSets } from './labels.ts'
import { type Crowding, priors } from './model.ts'
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
const waysPerDraw = 4

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
  const { group, machine, prints } = plate
  const random = new Random(1)
  const rows = 3 * group.labels.length
  const chances = new Float64Array(stageSets * (group.labels.length + 1))
  const logs = new Float64Array(waysPerDraw * machine.length)
  const shares = new Float64Array(3 * prints.length * logs.length)
  const ways = { chances, shares, random, urns: [new Urn(), new Urn(), new Urn()] } satisfies Ways
  for (let way = 0; way < logs.length; way++) {
    const draw = Math.floor(way / waysPerDraw)
    if (way % waysPerDraw === 0) {
      chancesBySet(group.byCause.subarray(rows * draw, rows * (draw + 1)), group.blind[draw]!, chances)
    }
    // Half of the ways let the wear begin here, so that what is unlikely beforehand is tried often enough.
    const begins = way % 2 === 1
    const hazard = group.hazard[draw]!
    const now = begins ? random.beta(...priors.worn) : machine[draw]!
    const log = follow(plate, draw, now, ways, 3 * prints.length * way)
    logs[way] = log + Math.log(begins ? hazard : 1 - hazard)
  }
  const most = logs.reduce((highest, log) => Math.max(highest, log), Number.NEGATIVE_INFINITY)
  const sums = new Float64Array(3 * prints.length)
  logs.forEach((log, way) => {
    const weight = Math.exp(log - most)
    for (let at = 0; at < sums.length; at++) sums[at]! += weight * shares[sums.length * way + at]!
  })
  const ofPrints = prints.map((_, print) => sums.subarray(3 * print, 3 * print + 3))
  return {
    plate: blameOf([0, 1, 2].map((stage) => ofPrints.reduce((sum, own) => sum + own[stage]!, 0))),
    prints: ofPrints.map(blameOf),
  }
}

function blameOf(sums: ArrayLike<number>): Blame | null {
  const all = sums[0]! + sums[1]! + sums[2]!
  return all > 0 ? { file: sums[0]! / all, machine: sums[1]! / all, plate: sums[2]! / all } : null
}

/** Products are turned into logarithms before they leave the range of numbers. */
const smallest = 1e-200

/** What is used for one way after the other: there are so many that each must leave nothing behind to be cleared away. */
type Ways = {
  /** of what is seen, by label and set of failed stages */
  chances: Float64Array
  /** what each stage has to answer for of each print's failed copies: three a print, way by way */
  shares: Float64Array
  random: Random
  urns: readonly [file: Urn, machine: Urn, plate: Urn]
}

/**
 * Draws one way in which a plate may have come about, by one draw of what is known.
 *
 * @param at where its shares begin
 * @returns the logarithm of how likely the plate was along that way
 */
function follow({ prints, crowding, group }: JudgedPlate, draw: number, machine: number, ways: Ways, at: number) {
  const { chances, shares, random, urns } = ways
  const [ofFile, ofMachine, ofPlate] = group.ties
  urns[1].begin(machine, ofMachine[draw]!)
  urns[2].begin(group.plates[crowding][draw]!, ofPlate[draw]!)
  let log = 0
  let product = 1
  for (let print = 0; print < prints.length; print++) {
    const { file, good, failures } = prints[print]!
    urns[0].begin(file[draw]!, ofFile[draw]!)
    // Failed copies first: copies of a print may come in any order, and those that failed say more.
    for (const { seen, copies } of failures) {
      const label = group.labels.indexOf(seen)
      const row = stageSets * (label < 0 ? group.labels.length : label)
      for (let copy = 0; copy < copies; copy++) {
        product *= Math.max(weigh(urns, chances, row), Number.MIN_VALUE)
        const set = random.index(weights)
        for (let stage = 0; stage < 3; stage++) {
          const isFailed = (set >> stage) & 1
          urns[stage]!.failed += isFailed
          urns[stage]!.passed += 1 - isFailed
          shares[at + 3 * print + stage]! += isFailed / sizeOfSet[set]!
        }
        if (product <= smallest) {
          log += Math.log(product)
          product = 1
        }
      }
    }
    for (let copy = 0; copy < good; copy++) {
      product *= Math.max(urns[0].next * urns[1].next * urns[2].next, Number.MIN_VALUE)
      for (const urn of urns) urn.passed++
      if (product <= smallest) {
        log += Math.log(product)
        product = 1
      }
    }
  }
  return log + Math.log(product)
}

/** A plate's copies at one stage. */
class Urn {
  passed = 0
  failed = 0
  #pass = Number.NaN
  #tie = Number.NaN

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
}

const weights = new Float64Array(stageSets)

/** Weighs the sets of stages that may have failed of the next copy. @returns how likely it fails and shows its label */
function weigh([onFile, onMachine, onPlate]: Ways['urns'], chances: Float64Array, row: number): number {
  const [file, machine, plate] = [onFile.next, onMachine.next, onPlate.next]
  let sum = 0
  for (let set = 1; set < stageSets; set++) {
    const atFile = chances[row + set]! * (set & 1 ? 1 - file : file)
    weights[set] = atFile * (set & 2 ? 1 - machine : machine) * (set & 4 ? 1 - plate : plate)
    sum += weights[set]!
  }
  return sum
}
