import { mean, type Shape } from './beta.ts'
import { startingRho } from './priors.ts'

/** What is to be expected of so many copies that are printed once. */
export type Outlook = {
  /** chance that every copy comes out good */
  allGood: number
  /** how many copies fail on average */
  expectedFailures: number
}

/**
 * What is to be expected of copies spread over plates, the success of each stage (file, printer, plate) being uncertain
 * but the same for all of them.
 *
 * Copies of one plate share their fate beyond that: with p the product of the stages' successes, how well one plate does
 * is taken for Beta(p s, (1 - p) s) with s = (1 - rho) / rho, which gives any two of its copies the correlation rho that
 * the scoring weighs reports by (SCORING: a plate of n copies tells as much as n / (1 + (n - 1) rho)). All n copies of a
 * plate then come out with the chance prod (p s + i) / (s + i) for i from 0 to n - 1: a polynomial in p whose
 * coefficients are not negative. So is the product over the plates, and E[p^k] is the product of the stages' moments
 * B(a + k, b) / B(a, b): no integral is left. With rho 0 it is E[p^N] alone.
 *
 * @param plates copies on each plate, whole and > 0
 * @param shapes one Beta a stage, independent of the others
 * @param rho correlation of two copies of one plate, 0 <= rho < 1
 * @throws RangeError when a plate has no whole number of copies
 * @see Skellam (1948), Journal of the Royal Statistical Society B 10, 257-261 (the beta-binomial distribution)
 */
export function outlookOfPlates(plates: readonly number[], shapes: readonly Shape[], rho = startingRho): Outlook {
  if (!plates.every((copies) => Number.isInteger(copies) && copies > 0))
    throw new RangeError('a plate has a whole number of copies, 1 at least')
  const copies = plates.reduce((sum, onPlate) => sum + onPlate, 0)
  const success = shapes.reduce((product, shape) => product * mean(shape), 1)
  let [allGood, moment] = [0, 1]
  coefficients(plates, rho).forEach((coefficient, power) => {
    allGood += coefficient * moment
    // B(a + k + 1, b) / B(a + k, b)
    for (const [a, b] of shapes) moment *= (a + power) / (a + b + power)
  })
  return { allGood: Math.min(1, allGood), expectedFailures: copies * (1 - success) }
}

/** Of the polynomial in p that is the chance of every copy, by power; they add to 1, since at p = 1 all come out. */
function coefficients(plates: readonly number[], rho: number): number[] {
  let polynomial = [1]
  for (const copies of plates) {
    for (let copy = 0; copy < copies; copy++) {
      // (p (1 - rho) + copy rho) / (1 - rho + copy rho)
      const scale = 1 - rho + copy * rho
      polynomial = timesLinear(polynomial, (copy * rho) / scale, (1 - rho) / scale)
    }
  }
  return polynomial
}

/** Times (constant + slope p). */
function timesLinear(polynomial: readonly number[], constant: number, slope: number): number[] {
  const product = new Array<number>(polynomial.length + 1).fill(0)
  polynomial.forEach((coefficient, power) => {
    product[power] = (product[power] ?? 0) + coefficient * constant
    product[power + 1] = (product[power + 1] ?? 0) + coefficient * slope
  })
  return product
}

/** Copies spread over plates as evenly as they go, the fuller ones first: 7 on 3 are 3, 2 and 2. */
export function spread(copies: number, plates: number): number[] {
  const least = Math.floor(copies / plates)
  return Array.from({ length: plates }, (_, plate) => least + (plate < copies % plates ? 1 : 0)).filter((on) => on > 0)
}
