import { below, intervalEnds, logBeta, mean, quantile, type Shape, type Summary, secondMoment } from './beta.ts'

/** One part of a mixture of Betas: its share, and the Beta. */
export type Part = { readonly weight: number; readonly shape: Shape }

/** Mean and second moment. */
export function mixtureMoments(parts: readonly Part[]): { first: number; second: number } {
  const average = (of: (shape: Shape) => number) =>
    parts.reduce((sum, { weight, shape }) => sum + weight * of(shape), 0)
  return { first: average(mean), second: average(secondMoment) }
}

/** @param nearest the Beta of the mixture's mean and variance */
export function mixtureSummary(parts: readonly Part[], nearest: Shape): Summary & { shape: Shape } {
  const [low, high] = intervalEnds.map((chance) => mixtureQuantile(parts, nearest, chance))
  return { mean: mean(nearest), low: low ?? 0, high: high ?? 1, shape: nearest }
}

const closeEnough = 1e-6
/** Beyond these logits a success is 0 or 1 to the last digit. */
const farthest = 40

/**
 * The point below which a mixture lies with the given chance, by Newton's method on the logit, kept between the points
 * that are known to be too low and too high.
 *
 * @param nearest a Beta like the mixture, to begin with; if it is not like it, this only takes longer
 */
export function mixtureQuantile(parts: readonly Part[], nearest: Shape, chance: number): number {
  let [low, high] = [-farthest, farthest]
  const logBetas = parts.map(({ shape }) => logBeta(...shape))
  let logit = logitOf(quantile(nearest, chance))
  for (let round = 0; round < 60; round++) {
    const point = 1 / (1 + Math.exp(-logit))
    let excess = -chance
    let slope = 0
    parts.forEach(({ weight, shape }, index) => {
      excess += weight * below(shape, point)
      slope += weight * Math.exp(logSlope(shape, logit) - (logBetas[index] ?? 0))
    })
    if (Math.abs(excess) < closeEnough || high - low < closeEnough) break
    if (excess < 0) low = logit
    else high = logit
    const next = logit - excess / slope
    logit = next > low && next < high ? next : (low + high) / 2
  }
  return 1 / (1 + Math.exp(-logit))
}

function logitOf(point: number): number {
  return Math.max(-farthest, Math.min(farthest, Math.log(point / (1 - point))))
}

/** Logarithm of a Beta's density over the logit, times B(a, b). */
function logSlope([a, b]: Shape, logit: number): number {
  return logit > 0
    ? -b * logit - (a + b) * Math.log1p(Math.exp(-logit))
    : a * logit - (a + b) * Math.log1p(Math.exp(logit))
}
