import betaln from '@stdlib/math-base-special-betaln'
import { describe, expect, test } from 'vitest'
import { HyperSteps } from '../../server/scoring/hyper-steps.ts'
import { seenLabels, tableOf } from '../../server/scoring/labels.ts'
import { layOut, PlateColumns } from '../../server/scoring/layout.ts'
import { Random } from '../../server/scoring/random.ts'
import { startingState } from '../../server/scoring/state.ts'
import { referenceRows } from './reference.ts'

/** Tarone 1982, in Gelman et al., Bayesian Data Analysis, chapter 5: y of K rats with a tumour. */
const rats = referenceRows('rat-tumours.csv').map(([y, all]) => ({
  tumours: Number(y),
  without: Number(all) - Number(y),
}))

/**
 * The book's alpha and beta have a flat prior in its own way, p(log (alpha / beta), log (alpha + beta)) proportional to
 * alpha beta (alpha + beta)^-5/2 (equations 5.9 and 5.10), the engine's have normal ones, around files and machines that
 * hardly ever fail. So every draw is weighted by what the book's prior is to the engine's.
 */
const logPriorOfBook = (alpha: number, beta: number) => Math.log(alpha) + Math.log(beta) - 2.5 * Math.log(alpha + beta)
const logNormal = (x: number, mean: number, sd: number) => -0.5 * ((x - mean) / sd) ** 2 - Math.log(sd)

type Draw = { alpha: number; beta: number; log: number }

function weighted(draws: readonly Draw[]) {
  const most = Math.max(...draws.map(({ log }) => log))
  const weights = draws.map(({ log }) => Math.exp(log - most))
  const sum = weights.reduce((total, weight) => total + weight, 0)
  const expected = (of: (draw: Draw) => number) =>
    draws.reduce((t, draw, at) => t + (weights[at] ?? 0) * of(draw), 0) / sum
  return {
    alpha: expected(({ alpha }) => alpha),
    beta: expected(({ beta }) => beta),
    /** how many unweighted draws they are worth (Kish 1965) */
    worth: sum ** 2 / weights.reduce((total, weight) => total + weight ** 2, 0),
  }
}

/** The same by the book's own way, a sum over a grid, with log beta by the library. */
function onGrid() {
  const draws: Draw[] = []
  for (let logit = -2.4; logit < -1.2; logit += 0.01) {
    for (let size = 1; size < 6; size += 0.025) {
      const [mean, all] = [1 / (1 + Math.exp(-logit)), Math.exp(size)]
      const [alpha, beta] = [mean * all, (1 - mean) * all]
      const likelihood = rats.reduce((sum, { tumours, without }) => sum + betaln(alpha + tumours, beta + without), 0)
      draws.push({ alpha, beta, log: logPriorOfBook(alpha, beta) + likelihood - 71 * betaln(alpha, beta) })
    }
  }
  return weighted(draws)
}

/** Rats without a tumour are the copies that passed: 71 lines of one sculptor, and 71 upkeep periods of a plate each. */
function sampler(seed: number) {
  const table = tableOf(seenLabels, true)
  const plates = rats.map(({ without, tumours }, group) => ({
    id: `${group}`,
    period: `m${group}`,
    crowding: 'packed' as const,
    day: 0,
    prints: [{ line: `s${group}`, sculptor: 'g', good: without, failures: [{ seen: "don't know", copies: tumours }] }],
  }))
  const layout = layOut(new PlateColumns(table.labels, plates))
  const random = new Random(seed)
  const state = startingState(layout, table, random)
  const groupOf = (name: string) => rats[Number(name.slice(1))] ?? { tumours: Number.NaN, without: Number.NaN }
  layout.lines.forEach((name, line) => {
    state.fileEvents.passed[line] = groupOf(name).without
    state.fileEvents.failed[line] = groupOf(name).tumours
  })
  layout.periods.forEach((name, plate) => {
    state.machineEvents.passed[plate] = groupOf(name).without
    state.machineEvents.failed[plate] = groupOf(name).tumours
  })
  return { state, steps: new HyperSteps(layout, state, random) }
}

function draw(sweeps: number): { machines: Draw[]; lines: Draw[] } {
  const [machines, lines]: [Draw[], Draw[]] = [[], []]
  const { state, steps } = sampler(3)
  for (let sweep = 0; sweep < sweeps / 10; sweep++) steps.step(false)
  for (let sweep = 0; sweep < sweeps; sweep++) {
    steps.step(true)
    const [logitMu0 = 0, logK0 = 0, logK = 0, logit = 0, logSize = 0] = state.hyper
    const [inOrder, size] = [1 / (1 + Math.exp(-logit)), Math.exp(logSize)]
    const [beta, alpha] = [inOrder * size, (1 - inOrder) * size]
    const machinePrior = logNormal(logit, Math.log(19), 0.7) + logNormal(logSize, Math.log(20), 1)
    machines.push({ alpha, beta, log: logPriorOfBook(alpha, beta) - machinePrior })
    const [mu, rest, k] = [state.mu.pass[0] ?? 0, state.mu.fail[0] ?? 0, Math.exp(logK)]
    const [a, b] = [Math.exp(logK0) / (1 + Math.exp(-logitMu0)), Math.exp(logK0) / (1 + Math.exp(logitMu0))]
    const muPrior = a * Math.log(mu) + b * Math.log(rest) - betaln(a, b)
    const linePrior = muPrior + logNormal(logK, Math.log(10), 0.8)
    lines.push({ alpha: rest * k, beta: mu * k, log: logPriorOfBook(rest * k, mu * k) - linePrior })
  }
  return { machines, lines }
}

describe('rat tumours: E(alpha) 2.4, E(beta) 14.3', () => {
  test('71 groups, 267 of 1,739', () => {
    expect(rats).toHaveLength(71)
    expect(rats.reduce((sum, { tumours }) => sum + tumours, 0)).toBe(267)
    expect(rats.reduce((sum, { tumours, without }) => sum + tumours + without, 0)).toBe(1739)
  })

  const exact = onGrid()
  const { machines, lines } = draw(12_000)

  test("the book's figures, by a sum over a grid", () => {
    expect(exact.alpha).toBeCloseTo(2.4, 1)
    expect(Math.abs(exact.beta - 14.3)).toBeLessThan(0.1)
  })

  test.each([
    ['am and bm', machines],
    ['mu and k', lines],
  ])('%s', (_, draws) => {
    const { alpha, beta, worth } = weighted(draws)
    expect(Math.abs(alpha / exact.alpha - 1)).toBeLessThan(0.04)
    expect(Math.abs(beta / exact.beta - 1)).toBeLessThan(0.04)
    expect(worth).toBeGreaterThan(1500)
  })

  test("unweighted they are the engine's: held against the same sum with its own prior", () => {
    const mean = machines.reduce((sum, { alpha }) => sum + alpha, 0) / machines.length
    let [all, total] = [0, 0]
    for (let logit = 1; logit < 2.6; logit += 0.01) {
      for (let size = 1; size < 6; size += 0.025) {
        const [b, a] = [Math.exp(size) / (1 + Math.exp(logit)), Math.exp(size) / (1 + Math.exp(-logit))]
        const likelihood = rats.reduce((sum, { tumours, without }) => sum + betaln(a + without, b + tumours), 0)
        const prior = logNormal(logit, Math.log(19), 0.7) + logNormal(size, Math.log(20), 1)
        const weight = Math.exp(likelihood - 71 * betaln(a, b) + prior + 735)
        all += weight
        total += weight * b
      }
    }
    expect(Math.abs(mean / (total / all) - 1)).toBeLessThan(0.04)
  })
})
