import type { Print } from '../../server/scoring/plates.ts'
import type { Random } from '../../server/scoring/random.ts'

/**
 * Groups drawn from SCORING's own assumptions, its priors included, written afresh: of the engine this shares nothing
 * but the random numbers and the shape of a plate, so that what is held against it is another reading of the same text.
 */

/** A chance to pass and what is left of 1, each exact where the other is next to 1. */
export type Chance = { pass: number; fail: number }

/** Everything that is not known of a group. Stages are file, machine, plate. */
export type Truth = {
  /** logit mu0, log k0, log k, logit am / (am + bm), log (am + bm) */
  hyper: [number, number, number, number, number]
  mu: Chance[]
  lines: Chance[]
  /** by period; `change`: so many plates come before the wear, all of them: none yet */
  periods: { inOrder: Chance; worn: Chance; change: number }[]
  plates: [halfEmpty: Chance, aboutFull: Chance, packed: Chance]
  hazard: number
  blind: number
  rho: [file: number, machine: number, plate: number]
  /** by stage, the chances of the seven labels */
  table: [file: number[], machine: number[], plate: number[]]
}

/** What is printed where, as is settled before anything fails. */
export type Design = {
  sculptorOfLine: number[]
  /** by period, its plates in their order: how full, and copies by line */
  periods: { crowding: 0 | 1 | 2; prints: { line: number; copies: number }[] }[][]
}

/** A plate as reported, and the failed stages (bits 1 file, 2 machine, 4 plate) of its failed copies in their order. */
export type DrawnPlate = {
  id: string
  period: string
  crowding: 'half empty' | 'about full' | 'packed'
  day: number
  prints: Print[]
  causes: number[]
}

export const grid = [0.02, 0.05, 0.1, 0.2, 0.35, 0.55, 0.75]
/** How often groups have each of these, at the file, the machine and the plate. */
const weightsOfGrid = [
  [1, 1, 1, 1, 1, 1, 1],
  [0.1, 0.3, 1, 1, 1, 1, 1],
  [1, 1, 1, 0.3, 0.1, 0.03, 0.01],
] as const
const crowdings = ['half empty', 'about full', 'packed'] as const

const labels = [
  'supports snapped',
  'part had no support',
  'nothing stuck to the plate',
  'one side of the plate only',
  'stuck to the film',
  'layers pulled apart',
  'soft detail',
]
const expectedTable = [
  [0.4, 0.38, 0.03, 0.01, 0.05, 0.09, 0.04],
  [0.12, 0.01, 0.34, 0.25, 0.2, 0.05, 0.03],
  [0.25, 0.02, 0.1, 0.1, 0.28, 0.22, 0.03],
] as const

export function drawChance(a: number, b: number, random: Random): Chance {
  const odds = Math.exp(random.logGamma(b) - random.logGamma(a))
  return { pass: 1 / (1 + odds), fail: 1 / (1 + 1 / odds) }
}

const inverseLogit = (x: number) => 1 / (1 + Math.exp(-x))

/** Sections 2-5 of SCORING, from the priors down. */
export function drawTruth(design: Design, random: Random): Truth {
  const normal = (mean: number, sd: number) => mean + sd * random.normal()
  const hyper: Truth['hyper'] = [
    normal(Math.log(0.85 / 0.15), 0.5),
    normal(Math.log(10), 0.8),
    normal(Math.log(10), 0.8),
    normal(Math.log(19), 0.7),
    normal(Math.log(20), 1),
  ]
  const [mu0, k0, k] = [inverseLogit(hyper[0]), Math.exp(hyper[1]), Math.exp(hyper[2])]
  const [inOrder, size] = [inverseLogit(hyper[3]), Math.exp(hyper[4])]
  const hazard = drawChance(20, 800, random).pass
  const sculptors = 1 + Math.max(...design.sculptorOfLine)
  const mu = Array.from({ length: sculptors }, () => drawChance(mu0 * k0, (1 - mu0) * k0, random))
  return {
    hyper,
    mu,
    lines: design.sculptorOfLine.map((sculptor) => {
      const { pass, fail } = mu[sculptor] as Chance
      return drawChance(pass * k, fail * k, random)
    }),
    periods: design.periods.map((plates) => ({
      inOrder: drawChance(inOrder * size, (1 - inOrder) * size, random),
      worn: drawChance(4, 4, random),
      change: drawChange(plates.length, hazard, random),
    })),
    plates: [drawChance(49, 1, random), drawChance(19, 1, random), drawChance(9, 1, random)],
    hazard,
    blind: drawChance(2, 14, random).pass,
    rho: [drawRho(0, random), drawRho(1, random), drawRho(2, random)],
    table: [drawRow(0, random), drawRow(1, random), drawRow(2, random)],
  }
}

function drawChange(plates: number, hazard: number, random: Random): number {
  let change = 0
  while (change < plates && random.uniform() >= hazard) change++
  return change
}

function drawRho(stage: 0 | 1 | 2, random: Random): number {
  const weights = weightsOfGrid[stage]
  let left = random.uniform() * weights.reduce((sum, weight) => sum + weight, 0)
  const drawn = weights.findIndex((weight) => {
    left -= weight
    return left < 0
  })
  return grid[drawn] ?? 0.02
}

function drawRow(stage: 0 | 1 | 2, random: Random): number[] {
  const expected = expectedTable[stage]
  const sum = expected.reduce((total, chance) => total + chance, 0)
  const gammas = expected.map((chance) => Math.exp(random.logGamma((15 * chance) / sum)))
  const all = gammas.reduce((total, value) => total + value, 0)
  return gammas.map((value) => value / all)
}

export function anyOf<Item>(items: readonly Item[], random: Random): Item {
  return items[Math.floor(items.length * random.uniform())] as Item
}

/** An urn of one stage: how many of its copies have failed so far decides on the next one (SCORING, section 2). */
export class Urn {
  readonly #chance: Chance
  readonly #size: number
  #failed = 0
  #others = 0

  constructor(chance: Chance, rho: number) {
    this.#chance = chance
    this.#size = (1 - rho) / rho
  }

  fails(random: Random): boolean {
    const size = this.#size
    const fails = random.uniform() * (size + this.#others) < size * this.#chance.fail + this.#failed
    this.#others++
    if (fails) this.#failed++
    return fails
  }
}

/** @param unknown share of the failed copies of which nothing is noted */
export function printAll(design: Design, truth: Truth, unknown: number, random: Random): DrawnPlate[] {
  return design.periods.flatMap((plates, period) => {
    return plates.map(({ crowding, prints }, day) => {
      const { inOrder, worn, change } = truth.periods[period] as Truth['periods'][number]
      const machineUrn = new Urn(day < change ? inOrder : worn, truth.rho[1])
      const plateUrn = new Urn(truth.plates[crowding], truth.rho[2])
      const causes: number[] = []
      const printed = prints.map(({ line, copies }): Print => {
        const fileUrn = new Urn(truth.lines[line] as Chance, truth.rho[0])
        const failures: { seen: string; copies: number }[] = []
        for (let copy = 0; copy < copies; copy++) {
          const cause = [fileUrn, machineUrn, plateUrn].reduce((set, urn, stage) => {
            return urn.fails(random) ? set | (1 << stage) : set
          }, 0)
          if (cause === 0) continue
          causes.push(cause)
          failures.push({ seen: look(cause, truth, unknown, random), copies: 1 })
        }
        const sculptor = `sculptor ${design.sculptorOfLine[line]}`
        return { line: `line ${line}`, sculptor, good: copies - failures.length, failures }
      })
      return {
        id: `plate ${period}.${String(day).padStart(4, '0')}`,
        period: nameOf(period),
        day,
        crowding: crowdings[crowding],
        prints: printed,
        causes,
      }
    })
  })
}

const nameOf = (period: number) => `period ${String(period).padStart(3, '0')}`

/** What is noted of a failed copy: a look at any of its failed stages, or, blindly, anything. */
function look(cause: number, { blind, table }: Truth, unknown: number, random: Random): string {
  if (random.uniform() < unknown) return "don't know"
  if (random.uniform() < blind) return anyOf(labels, random)
  const stage = anyOf(
    [0, 1, 2].filter((stage) => cause & (1 << stage)),
    random,
  ) as 0 | 1 | 2
  let left = random.uniform()
  for (const [label, chance] of table[stage].entries()) {
    left -= chance
    if (left < 0) return labels[label] as string
  }
  return 'soft detail'
}

/** A small group: lines by a few sculptors, printed on a few machines, plates of one or two prints. */
export function smallDesign(
  { lines = 6, sculptors = 3, periods = 5, plates = 64, copies = 8 },
  random: Random,
): Design {
  const whole = (below: number) => Math.floor(below * random.uniform())
  const design: Design = {
    sculptorOfLine: Array.from({ length: lines }, (_, line) => (line < sculptors ? line : whole(sculptors))),
    periods: Array.from({ length: periods }, () => []),
  }
  for (let plate = 0; plate < plates; plate++) {
    const prints = Array.from({ length: random.uniform() < 0.3 ? 2 : 1 }, () => {
      return { line: whole(lines), copies: 1 + whole(copies) }
    })
    // The first periods print more than the later ones.
    const period = Math.floor(periods * random.uniform() * random.uniform())
    design.periods[period]?.push({ crowding: whole(3) as 0 | 1 | 2, prints })
  }
  return { ...design, periods: design.periods.filter((list) => list.length > 0) }
}
