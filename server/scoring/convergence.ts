// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { meanOf } from './draws.ts'

/** How well chains agree (1 is perfect), and how many independent draws theirs are worth. */
export type Convergence = { rhat: number; effectiveSize: number }

/**
 * Rank-normalised split R-hat (the larger one of bulk and folded) and bulk effective sample size.
 *
 * @param chains draws of one unknown, chains of the same length, at least 4 draws each
 * @see Vehtari, Gelman, Simpson, Carpenter & Buerkner (2021), Rank-normalization, folding, and localization: an improved
 *   R-hat for assessing convergence of MCMC, Bayesian Analysis 16, 667-718
 */
export function convergenceOf(chains: readonly Float64Array[]): Convergence {
  const halves = chains.flatMap(splitInHalves)
  const bulk = rankNormalised(halves)
  const median = medianOf(halves)
  const folded = rankNormalised(halves.map((half) => half.map((value) => Math.abs(value - median))))
  return { rhat: Math.max(rhatOf(bulk), rhatOf(folded)), effectiveSize: effectiveSizeOf(bulk) }
}

function splitInHalves(chain: Float64Array): Float64Array[] {
  const half = Math.floor(chain.length / 2)
  return [chain.subarray(0, half), chain.subarray(chain.length - half)]
}

/** Every value by the normal quantile of its rank among all; equal values share the mean of their ranks. */
function rankNormalised(chains: readonly Float64Array[]): Float64Array[] {
  const length = chains[0]!.length
  const all = Float64Array.from(chains.flatMap((chain) => [...chain]))
  const order = Uint32Array.from(all, (_, index) => index).sort((one, other) => all[one]! - all[other]!)
  const scores = new Float64Array(all.length)
  for (let from = 0; from < order.length; ) {
    let to = from + 1
    while (to < order.length && all[order[to]!] === all[order[from]!]) to++
    const rank = (from + 1 + to) / 2
    const score = normalQuantile((rank - 3 / 8) / (all.length + 1 / 4))
    for (let at = from; at < to; at++) scores[order[at]!] = score
    from = to
  }
  return chains.map((_, chain) => scores.subarray(chain * length, (chain + 1) * length))
}

function medianOf(chains: readonly Float64Array[]): number {
  const sorted = Float64Array.from(chains.flatMap((chain) => [...chain])).sort()
  const half = sorted.length >> 1
  return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2
}

type Variances = { within: number; total: number }

function variancesOf(chains: readonly Float64Array[]): Variances {
  const length = chains[0]!.length
  const means = chains.map(meanOf)
  const overall = meanOf(means)
  const within = meanOf(
    chains.map((chain, index) => {
      return chain.reduce((sum, value) => sum + (value - means[index]!) ** 2, 0) / (length - 1)
    }),
  )
  const between = means.reduce((sum, mean) => sum + (mean - overall) ** 2, 0) / (means.length - 1)
  return { within, total: ((length - 1) / length) * within + between }
}

function rhatOf(chains: readonly Float64Array[]): number {
  const { within, total } = variancesOf(chains)
  // What never moves has nothing to agree on.
  return within > 0 ? Math.sqrt(total / within) : 1
}

/**
 * By Geyer's initial monotone sequence of pairs of correlations, as the R package posterior sums it: the even one of the
 * first pair that is not positive counts still, if it is, which helps where a chain goes to and fro.
 *
 * @see Geyer (1992), Practical Markov chain Monte Carlo, Statistical Science 7, 473-483
 */
function effectiveSizeOf(chains: readonly Float64Array[]): number {
  const length = chains[0]!.length
  const draws = chains.length * length
  const { within, total } = variancesOf(chains)
  if (!(within > 0)) return draws
  const means = chains.map(meanOf)
  const correlation = (lag: number) => {
    const covariance = meanOf(chains.map((chain, index) => autocovariance(chain, means[index]!, lag)))
    return 1 - (within - covariance) / total
  }
  let time = -1
  let last = Number.POSITIVE_INFINITY
  for (let lag = 0; lag + 3 < length; lag += 2) {
    const even = lag === 0 ? 1 : correlation(lag)
    const pair = even + correlation(lag + 1)
    if (!(pair > 0)) {
      time += Math.max(0, even)
      break
    }
    last = Math.min(last, pair)
    time += 2 * last
  }
  return draws / Math.max(time, 1 / Math.log10(draws))
}

function autocovariance(chain: Float64Array, mean: number, lag: number): number {
  let sum = 0
  for (let at = 0; at + lag < chain.length; at++) sum += (chain[at]! - mean) * (chain[at + lag]! - mean)
  return sum / chain.length
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
