import { below, intervalEnds, mean, quantile, type Shape, type Summary, secondMoment } from './beta.ts'

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

const closeEnough = 1e-7

/**
 * The point below which a mixture lies with the given chance, by false position (the Illinois variant) on the chances of
 * the nearest Beta: the mixture's chances are nearly those, so that two or three steps do.
 *
 * @param nearest a Beta like the mixture; if it is not like it, this only takes longer
 */
export function mixtureQuantile(parts: readonly Part[], nearest: Shape, chance: number): number {
  let [low, high] = [0, 1]
  let [atLow, atHigh] = [-chance, 1 - chance]
  let guess = chance
  for (let round = 0; ; round++) {
    const point = quantile(nearest, guess)
    const excess = parts.reduce((sum, { weight, shape }) => sum + weight * below(shape, point), -chance)
    if (Math.abs(excess) < closeEnough || high - low < closeEnough ** 2 || round === 60) return point
    if (excess < 0) {
      ;[low, atLow] = [guess, excess]
      atHigh /= 2
    } else {
      ;[high, atHigh] = [guess, excess]
      atLow /= 2
    }
    const next = low - (atLow * (high - low)) / (atHigh - atLow)
    guess = next > low && next < high ? next : (low + high) / 2
  }
}
