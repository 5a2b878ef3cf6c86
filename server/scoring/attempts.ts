import { above, below, logBeta, mean, type Shape, secondMoment, shapeOfMoments } from './beta.ts'

/** Nobody prints more than so many copies for one good one before giving up: attempts are capped here. */
export const mostAttempts = 20

/**
 * Expected attempts per good copy of one stage, E[min(1/p, 20)].
 *
 * With t = 1/20 and I the regularised incomplete beta function, 20 I_t(a, b) + E[1/p; p > t]; the latter is
 * (a + b - 1)/(a - 1) (1 - I_t(a - 1, b)) for a > 1 and needs quadrature otherwise.
 */
export function expectedAttempts(shape: Shape): number {
  const [a, b] = shape
  if (a <= 1) return attemptsByQuadrature(shape)
  const least = 1 / mostAttempts
  return mostAttempts * below(shape, least) + ((a + b - 1) / (a - 1)) * above([a - 1, b], least)
}

const panels = 200

/**
 * The same as 1 + the integral of P(1/p > z) for z from 1 to 20, by Simpson's rule; z = exp(v) with v a cube smooths the
 * cusp that b < 1 leaves at z = 1.
 */
function attemptsByQuadrature(shape: Shape): number {
  const end = Math.cbrt(Math.log(mostAttempts))
  const width = end / panels
  const integrand = (s: number) => {
    const z = Math.exp(s ** 3)
    return below(shape, 1 / z) * z * 3 * s * s
  }
  let sum = integrand(0) + integrand(end)
  for (let panel = 1; panel < panels; panel++) sum += (panel % 2 === 1 ? 4 : 2) * integrand(panel * width)
  return Math.min(mostAttempts, 1 + (sum * width) / 3)
}

/**
 * Copies to print per good copy: the product over the stages, each taken to be independent of the others.
 *
 * @param shapes one Beta a stage (file, printer, plate)
 * @returns >= 1; each stage adds at most a factor of 20
 */
export function attemptsPerGood(shapes: readonly Shape[]): number {
  return shapes.reduce((product, shape) => product * expectedAttempts(shape), 1)
}

/** The one Beta that has mean and second moment of the product of independent stages. */
export function productShape(shapes: readonly Shape[]): Shape {
  const first = shapes.reduce((product, shape) => product * mean(shape), 1)
  const second = shapes.reduce((product, shape) => product * secondMoment(shape), 1)
  return shapeOfMoments(first, second)
}

/** Beyond so many failures a quantile is no plan any more; the search ends here. */
export const mostFailures = 100_000

/**
 * Failures before the wanted number of good copies that are not exceeded with the given chance: a quantile of the
 * beta-negative-binomial.
 *
 * @param wanted N, good copies wanted, whole and >= 0
 * @param shapes one Beta a stage
 * @param chance 0.9 for "9 in 10 do no worse"
 * @returns a whole number, at most `mostFailures`
 */
export function badLuckFailures(wanted: number, shapes: readonly Shape[], chance = 0.9): number {
  if (wanted === 0) return 0
  const [a, b] = productShape(shapes)
  let logChance = logBeta(a + wanted, b) - logBeta(a, b)
  let reached = Math.exp(logChance)
  let failures = 0
  while (reached < chance && failures < mostFailures) {
    logChance += Math.log(((wanted + failures) * (b + failures)) / ((failures + 1) * (a + wanted + b + failures)))
    failures++
    reached += Math.exp(logChance)
  }
  return failures
}
