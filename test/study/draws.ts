import type { Shape } from '../../server/scoring/beta.ts'
import type { Random } from '../../server/scoring/random.ts'

/** A chance to pass and what is left of 1, each exact where the other is next to 1. */
export type Chance = { pass: number; fail: number }

/** A Beta variable: a gamma variable as a share of two. */
export function drawChance([a, b]: Shape, random: Random): Chance {
  const odds = Math.exp(random.logGamma(b) - random.logGamma(a))
  return { pass: 1 / (1 + odds), fail: 1 / (1 + 1 / odds) }
}

export function drawBeta(shape: Shape, random: Random): number {
  return drawChance(shape, random).pass
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
