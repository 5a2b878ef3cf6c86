// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { meanOf } from './draws.ts'

/** How well chains agree (1 is perfect), and how many independent draws theirs are worth. */
export type Convergence = { rhat: number; effectiveSize: number }

/** Shown for more, and where chains stand still in different places, of which it would be infinite. */
const mostRhat = 100

/**
 * Rank-normalised split R-hat (the larger one of bulk and folded) and bulk effective sample size.
 *
 * @param chains draws of one unknown, chains of the same length, at least 4 draws each
 * @see Vehtari, Gelman, Simpson, Carpenter & Buerkner (2021), Rank-normalization, folding, and localization: an improved
 *   R-hat for assessing convergence of MCMC, Bayesian Analysis 16, 667-718
 */
export function convergenceOf(chains: readonly Float64Array[]): Convergence {
  const half = Math.floor(chains[0]!.length / 2)
  const halves = chains.flatMap((chain) => [chain.subarray(0, half), chain.subarray(chain.length - half)])
  const values = Float64Array.from(halves.flatMap((own) => [...own]))
  const sorted = values.toSorted()
  const median = (sorted[(sorted.length - 1) >> 1]! + sorted[sorted.length >> 1]!) / 2
  const bulk = spreadOf(normalScores(values), half)
  const folded = spreadOf(normalScores(values.map((value) => Math.abs(value - median))), half)
  return { rhat: Math.max(rhatOf(bulk), rhatOf(folded)), effectiveSize: effectiveSizeOf(bulk) }
}

/** Every value by the normal quantile of its rank among all; equal values share the mean of their ranks. */
function normalScores(values: Float64Array): Float64Array {
  const order = Uint32Array.from(values.keys()).sort((one, other) => values[one]! - values[other]!)
  const scores = new Float64Array(values.length)
  for (let from = 0; from < order.length; ) {
    let to = from + 1
    while (to < order.length && values[order[to]!] === values[order[from]!]) to++
    const score = normalQuantile(((from + 1 + to) / 2 - 3 / 8) / (values.length + 1 / 4))
    for (; from < to; from++) scores[order[from]!] = score
  }
  return scores
}

/** Chains of the same length, and how much they vary: within each, and all together. */
type Spread = { chains: Float64Array[]; means: number[]; within: number; total: number }

/** @param scores chain after chain, each so long */
function spreadOf(scores: Float64Array, length: number): Spread {
  const chains = Array.from({ length: scores.length / length }, (_, chain) =>
    scores.subarray(chain * length, (chain + 1) * length),
  )
  const means = chains.map(meanOf)
  const within = meanOf(chains.map((chain, at) => varianceOf(chain, means[at]!)))
  const between = varianceOf(Float64Array.from(means), meanOf(means))
  return { chains, means, within, total: ((length - 1) / length) * within + between }
}

function varianceOf(values: Float64Array, mean: number): number {
  return values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1)
}

/** 1 for what is the same everywhere: it has nothing to agree on. */
const rhatOf = ({ within, total }: Spread) => (total > 0 ? Math.min(mostRhat, Math.sqrt(total / within)) : 1)

/**
 * By Geyer's initial monotone sequence of pairs of correlations, as the R package posterior sums it: the even one of the
 * first pair that is not positive counts still, if it is, which helps where a chain goes to and fro.
 *
 * @see Geyer (1992), Practical Markov chain Monte Carlo, Statistical Science 7, 473-483
 */
function effectiveSizeOf(spread: Spread): number {
  const { chains, within, total } = spread
  const { length } = chains[0]!
  const draws = chains.length * length
  if (!(within > 0)) return total > 0 ? chains.length : draws
  let time = -1
  let last = Number.POSITIVE_INFINITY
  for (let lag = 0; lag + 3 < length; lag += 2) {
    const even = lag === 0 ? 1 : correlation(spread, lag)
    const pair = even + correlation(spread, lag + 1)
    if (!(pair > 0)) {
      time += Math.max(0, even)
      break
    }
    last = Math.min(last, pair)
    time += 2 * last
  }
  return draws / Math.max(time, 1 / Math.log10(draws))
}

function correlation({ chains, means, within, total }: Spread, lag: number): number {
  const covariances = chains.map((chain, index) => {
    const mean = means[index]!
    let sum = 0
    for (let at = 0; at + lag < chain.length; at++) sum += (chain[at]! - mean) * (chain[at + lag]! - mean)
    return sum / chain.length
  })
  return 1 - (within - meanOf(covariances)) / total
}

/**
 * The normal quantile, by a rational approximation with an absolute error below 4.5e-4: ranks need no more.
 *
 * @param chance strictly between 0 and 1
 * @see Abramowitz & Stegun, Handbook of Mathematical Functions, 26.2.23
 */
function normalQuantile(chance: number): number {
  const t = Math.sqrt(-2 * Math.log(Math.min(chance, 1 - chance)))
  const size =
    t - (2.515517 + 0.802853 * t + 0.010328 * t * t) / (1 + 1.432788 * t + 0.189269 * t * t + 0.001308 * t * t * t)
  return chance < 0.5 ? -size : size
}
