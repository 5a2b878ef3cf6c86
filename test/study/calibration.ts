import { emptySums } from '../../server/scoring/chain.ts'
import { Random } from '../../server/scoring/random.ts'
import { chainOf, readTruth } from './chain-state.ts'
import { anyOf, drawTruth, printAll, smallDesign, type Truth } from './drawn-group.ts'

/** What is drawn and fitted, and how long the chain takes over it. */
export type Calibration = {
  groups: number
  plates: number
  /** draws a group, so many sweeps apart; before the first one, sweeps that let the chain find its way */
  draws: number
  apart: number
  findingItsWay: number
  seed: number
}

/** Share of the failed copies of which nothing is noted: it tells nothing, so any will do. */
const unknown = 0.2

/** Groups of one calibration; every unknown's ranks stand in the order of the groups. */
export type Ranks = Map<string, number[]>

/**
 * Simulation-based calibration: groups are drawn from the priors and fitted. If the sampler draws from the posterior, the
 * truth is just one more draw, and every rank among them is as likely.
 *
 * @returns by unknown, ranks of the truth: 0 below all draws ... `draws` above all
 * @see Talts, Betancourt, Simpson, Vehtari & Gelman (2018), Validating Bayesian inference algorithms with
 *   simulation-based calibration, arXiv:1804.06788
 */
export function calibrate(calibration: Calibration): Ranks {
  const ranks: Ranks = new Map()
  for (let group = 0; group < calibration.groups; group++) {
    const random = new Random(1000 * calibration.seed + group)
    for (const [name, rank] of ranksIn(calibration, random)) {
      const list = ranks.get(name)
      if (list) list.push(rank)
      else ranks.set(name, [rank])
    }
  }
  return ranks
}

function ranksIn({ plates, draws, apart, findingItsWay }: Calibration, random: Random): Map<string, number> {
  const design = smallDesign({ plates }, random)
  const truth = drawTruth(design, random)
  const { chain, layout } = chainOf(printAll(design, truth, unknown, random), random)
  // Any line and any period, whatever came of them.
  const line = numberIn(anyOf(layout.lines, random))
  const period = numberIn(anyOf(layout.periods, random))
  const sculptor = design.sculptorOfLine[line] ?? 0
  const plateCount = design.periods[period]?.length ?? 0
  const asked = (of: Truth) => quantities(of, { line, sculptor, period, plateCount })
  const wanted = asked(truth)
  const below = wanted.map(() => 0)
  const equal = wanted.map(() => 0)
  const sums = emptySums(layout)
  for (let sweep = 0; sweep < findingItsWay; sweep++) chain.sweep()
  for (let draw = 0; draw < draws; draw++) {
    for (let sweep = 0; sweep < apart; sweep++) chain.sweep(sums)
    asked(readTruth(chain.state, layout, random)).forEach(([, value], at) => {
      const difference = value - (wanted[at]?.[1] ?? Number.NaN)
      if (Math.abs(difference) < 1e-9) equal[at] = (equal[at] ?? 0) + 1
      else if (difference < 0) below[at] = (below[at] ?? 0) + 1
    })
  }
  // Among equals the truth stands anywhere.
  return new Map(
    wanted.map(([name], at) => [name, (below[at] ?? 0) + Math.floor(((equal[at] ?? 0) + 1) * random.uniform())]),
  )
}

const numberIn = (name: string) => Number(name.split(' ')[1])

/** By their numbers; and how many plates the period has. */
type Asked = Record<'line' | 'sculptor' | 'period' | 'plateCount', number>

/** What is ranked: chances by their logits, which tell them apart next to 1. */
function quantities(truth: Truth, { line, sculptor, period, plateCount }: Asked): [name: string, value: number][] {
  const machine = truth.periods[period]
  const logit = (chance?: { pass: number; fail: number }) =>
    chance ? Math.log(chance.pass) - Math.log(Math.max(1e-300, chance.fail)) : Number.NaN
  const isWorn = machine !== undefined && machine.change < plateCount
  return [
    ['p of a line', logit(truth.lines[line])],
    ['p of a machine in order', logit(machine?.inOrder)],
    ['p of a machine at its last plate', logit(isWorn ? machine.worn : machine?.inOrder)],
    ['w, worn', logit(machine?.worn)],
    ['T, plates before the wear', machine?.change ?? Number.NaN],
    ['h', truth.hazard],
    ['p of a plate', logit(truth.plates[1])],
    ['eps', truth.blind],
    ...truth.rho.map((rho, stage): [string, number] => [`rho of the ${['file', 'machine', 'plate'][stage]}`, rho]),
    ['mu of a sculptor', logit(truth.mu[sculptor])],
    ...truth.hyper.map((value, at): [string, number] => [hyperNames[at] ?? '', value]),
    ['M, file: supports snapped', truth.table[0][0] ?? Number.NaN],
    ['M, machine: nothing stuck', truth.table[1][2] ?? Number.NaN],
    ['M, plate: stuck to the film', truth.table[2][4] ?? Number.NaN],
  ]
}

const hyperNames = ['mu0', 'k0', 'k', 'am / (am + bm)', 'am + bm']

/**
 * Pearson's chi-square of ranks over bins of the same width.
 *
 * @param draws ranks go from 0 to so many; one more must be a multiple of the bins
 */
export function chiSquareOf(ranks: readonly number[], draws: number, bins = 20): number {
  const counts = new Array<number>(bins).fill(0)
  for (const rank of ranks) {
    const bin = Math.floor((rank * bins) / (draws + 1))
    counts[bin] = (counts[bin] ?? 0) + 1
  }
  const expected = ranks.length / bins
  return counts.reduce((sum, count) => sum + (count - expected) ** 2 / expected, 0)
}
