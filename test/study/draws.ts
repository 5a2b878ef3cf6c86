import type { Shape } from '../../server/scoring/beta.ts'
import type { Random } from '../../server/scoring/random.ts'

/** A Beta variable: a gamma variable as a share of two. */
export function drawBeta([a, b]: Shape, random: Random): number {
  const odds = Math.exp(random.logGamma(b) - random.logGamma(a))
  return 1 / (1 + odds)
}

/** An index, as often as its weight says. */
export function drawWeighted(weights: readonly number[], random: Random): number {
  let left = random.uniform() * weights.reduce((sum, weight) => sum + weight, 0)
  for (const [index, weight] of weights.entries()) {
    left -= weight
    if (left < 0) return index
  }
  return weights.length - 1
}
