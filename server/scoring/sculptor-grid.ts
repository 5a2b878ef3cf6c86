// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { logBeta, logGamma, type Shape } from './beta.ts'
import { type Case, casesOf, type Told } from './cases.ts'
import type { Part } from './mixture.ts'
import type { Hyper } from './priors.ts'
import { sculptorRecord, withoutSet } from './sculptor-tier.ts'

/**
 * The sculptor's mean mu on a grid: its prior times, for each of the sculptor's sets, the chance of what was seen on
 * that set, B(k mu + x, k (1 - mu) + y) / B(k mu, k (1 - mu)). The nodes stand evenly in logit mu, where the integrand
 * is smooth and dies away on both sides, so that the plain sum converges faster than any power of the distance.
 */
export type SculptorGrid = {
  readonly k: number
  readonly mu: Float64Array
  /** 1 - mu, exact where mu is near 1 */
  readonly rest: Float64Array
  /** share of every node given all of the sculptor's sets; they add to 1 */
  readonly weight: Float64Array
}

/** No shape parameter is smaller. */
const smallest = 1e-9
/** Parts lighter than this are left out of mixtures: together they are too light to be seen. */
const negligible = 1e-7

/** @param sets all sets of the sculptor that have evidence; others change nothing */
export function sculptorGrid(sets: readonly Told[], hyper: Hyper): SculptorGrid {
  const { from, distance, count } = reach(sets, hyper)
  const mu = new Float64Array(count)
  const rest = new Float64Array(count)
  const weight = new Float64Array(count)
  const cases = sets.map((set) => ofSize(casesOf(set), hyper.k))
  for (let node = 0; node < count; node++) {
    const odds = Math.exp(-(from + node * distance))
    mu[node] = 1 / (1 + odds)
    rest[node] = odds / (1 + odds)
    weight[node] = logWeight(mu[node]!, rest[node]!, cases, hyper)
  }
  return { k: hyper.k, mu, rest, weight: normalised(weight) }
}

/** Logarithm of prior (with d mu / d logit mu) times the sets' chances, up to a constant. */
function logWeight(mu: number, rest: number, sets: readonly (readonly Case[])[], { mu0, k0, k }: Hyper): number {
  const a = k * mu
  const b = k * rest
  let sum = mu0 * k0 * Math.log(mu) + (1 - mu0) * k0 * Math.log(rest)
  const before = logGamma(a) + logGamma(b)
  for (const cases of sets) {
    let log = logOfCase(cases[0]!, a, b)
    for (let other = 1; other < cases.length; other++) log = logOfSum(log, logOfCase(cases[other]!, a, b))
    sum += log - before
  }
  return sum
}

/** Cases with the third gamma function of B(k mu + x, k (1 - mu) + y) in their weights: it is the same for every mu. */
function ofSize(cases: readonly Case[], k: number): readonly Case[] {
  return cases.length === 1 ? cases : cases.map(({ x, y, log }) => ({ x, y, log: log - logGamma(k + x + y) }))
}

function logOfCase({ x, y, log }: Case, a: number, b: number): number {
  return log + logGamma(a + x) + logGamma(b + y)
}

function logOfSum(one: number, other: number): number {
  const most = Math.max(one, other)
  return most + Math.log1p(Math.exp(Math.min(one, other) - most))
}

/** Beyond this logit, odds are out of the range of numbers. */
const farthest = 300

/**
 * From where to where the grid goes. A Beta(A, B) lies around log(A / B) with a spread of about sqrt(1/A + 1/B) and
 * tails that fall as e^(A t) and e^(-B t); the grid covers that of the sculptor's record, without any one set too, since
 * one set may contradict all others.
 */
function reach(sets: readonly Told[], hyper: Hyper): { from: number; distance: number; count: number } {
  const record = sculptorRecord(sets, hyper)
  let from = Number.POSITIVE_INFINITY
  let to = Number.NEGATIVE_INFINITY
  let narrowest = Number.POSITIVE_INFINITY
  for (const [a, b] of [record, ...sets.map((set) => withoutSet(record, set, hyper))]) {
    const middle = Math.log(a / b)
    const spread = Math.sqrt(1 / a + 1 / b)
    from = Math.min(from, Math.max(-farthest, middle - 4 * spread - 8 / a))
    to = Math.max(to, Math.min(farthest, middle + 4 * spread + 8 / b))
    narrowest = Math.min(narrowest, spread)
  }
  const count = Math.min(96, Math.max(16, Math.ceil((to - from) / (0.8 * narrowest))))
  return { from, distance: (to - from) / (count - 1), count }
}

function normalised(logs: Float64Array): Float64Array {
  const most = logs.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY)
  const weights = logs.map((log) => Math.exp(log - most))
  const sum = weights.reduce((a, b) => a + b, 0)
  return weights.map((weight) => weight / sum)
}

/**
 * The law of one set's success given its own reports and its sculptor's other sets, as a mixture of Betas.
 *
 * @param set one of the sets that the grid was made of, or one without evidence
 */
export function successParts(grid: SculptorGrid, set: Told): Part[] {
  const cases = ofSize(casesOf(set), grid.k)
  const parts: Part[] = []
  for (let node = 0; node < grid.mu.length; node++) {
    if (grid.weight[node]! < negligible) continue
    const [a, b] = [grid.k * grid.mu[node]!, grid.k * grid.rest[node]!]
    const shares = cases.length === 1 ? undefined : normalised(Float64Array.from(cases, (one) => logOfCase(one, a, b)))
    cases.forEach(({ x, y }, index) => {
      const weight = grid.weight[node]! * (shares?.[index] ?? 1)
      if (weight >= negligible) parts.push({ weight, shape: [a + x, b + y] })
    })
  }
  return parts
}

/** The Beta that matches the law of the set's success in mean and variance; failure is added up apart, to be exact. */
export function matchedSuccess(grid: SculptorGrid, set: Told): Shape {
  return matchedShape(successParts(grid, set))
}

/** The Beta that matches a mixture in mean and variance. */
export function matchedShape(parts: readonly Part[]): Shape {
  let good = 0
  let bad = 0
  let within = 0
  for (const {
    weight,
    shape: [a, b],
  } of parts) {
    const n = a + b
    good += (weight * a) / n
    bad += (weight * b) / n
    within += (weight * a * b) / (n * n * (n + 1))
  }
  let between = 0
  for (const {
    weight,
    shape: [a, b],
  } of parts)
    between += weight * (b / (a + b) - bad) ** 2
  const copies = (good * bad) / (within + between) - 1
  return [Math.max(smallest, good * copies), Math.max(smallest, bad * copies)]
}

/** Values of a sculptor's mean to draw from, with the logarithms of their prior and of B(k mu, k (1 - mu)). */
export type SculptorNodes = Record<'mu' | 'rest' | 'logPrior' | 'logBeta', Float64Array>

/** Twice as dense as the grid of a sculptor about whom nothing is known, for what is known about any narrows it. */
export function sculptorNodes(hyper: Hyper): SculptorNodes {
  const { from, distance, count } = reach([], hyper)
  const odds = Array.from({ length: 2 * count - 1 }, (_, node) => Math.exp(-(from + (node * distance) / 2)))
  const mu = Float64Array.from(odds, (value) => 1 / (1 + value))
  const rest = Float64Array.from(odds, (value) => value / (1 + value))
  return {
    mu,
    rest,
    logPrior: mu.map((value, node) => logWeight(value, rest[node]!, [], hyper)),
    logBeta: mu.map((value, node) => logBeta(hyper.k * value, hyper.k * rest[node]!)),
  }
}
