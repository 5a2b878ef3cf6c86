import { logBeta, type Shape } from './beta.ts'
import { digamma, trigamma } from './polygamma.ts'
import type { Total } from './priors.ts'

/** A total that counts so many times; once when left out. */
type Weighed = Total & { weight?: number }

/**
 * Logarithm of the beta-binomial marginal likelihood, without the binomial coefficients:
 * sum of log B(a + x, b + y) - log B(a, b).
 */
export function logMarginal([a, b]: Shape, totals: readonly Total[]): number {
  let sum = -totals.length * logBeta(a, b)
  for (const { x, y } of totals) sum += logBeta(a + Math.max(0, x), b + Math.max(0, y))
  return sum
}

/** A place on the hill that is climbed: logit of the mean, and logarithm of the size a + b. */
type Point = readonly [logit: number, logSize: number]

/** Height, slopes and curvatures of a function of two variables at one place. */
type Slopes = { height: number; u: number; v: number; uu: number; uv: number; vv: number }

const mostSteps = 100
/** What one more step would add to a logarithm of chances is not worth looking at. */
const negligible = 1e-7

/**
 * The Beta that best explains a population of totals, by (penalised) maximum marginal likelihood in logit mean and log
 * size: Newton's method, a step being halved as long as it leads down.
 *
 * @param start the nearer, the fewer steps; close by it takes one
 * @param penalised pulls towards mean .9 and size 10 with N(logit .9, 1) and N(log 10, 1); without, plain likelihood
 */
export function bestShape(totals: readonly Weighed[], start: Shape, { penalised = true } = {}): Shape {
  const slopesAt = (point: Point) => hillAt(point, totals, penalised)
  let at: Point = [Math.log(start[0] / start[1]), Math.log(start[0] + start[1])]
  let slopes = slopesAt(at)
  for (let count = 0; count < mostSteps; count++) {
    const step = newtonStep(slopes)
    const gain = slopes.u * step[0] + slopes.v * step[1]
    if (gain < negligible) return shapeAt(moved(at, step, 1))
    let share = 1
    let next = slopesAt(moved(at, step, share))
    while (!(next.height >= slopes.height) && share > negligible) {
      share /= 2
      next = slopesAt(moved(at, step, share))
    }
    at = moved(at, step, share)
    slopes = next
  }
  return shapeAt(at)
}

function moved([logit, logSize]: Point, step: Point, share: number): Point {
  return [logit + share * step[0], logSize + share * step[1]]
}

function shapeAt([logit, logSize]: Point): Shape {
  const size = Math.exp(logSize)
  const odds = Math.exp(-logit)
  return [size / (1 + odds), (size * odds) / (1 + odds)]
}

/** To the top of the parabola that fits the slopes; where that has none, uphill by at most 1. */
function newtonStep({ u, v, uu, uv, vv }: Slopes): Point {
  const bend = 0.5 * (uu + vv) + Math.hypot(0.5 * (uu - vv), uv)
  const away = bend < 0 ? 0 : bend + Math.hypot(u, v)
  const [a, b] = [uu - away, vv - away]
  const scale = 1 / (a * b - uv * uv)
  return [scale * (uv * v - b * u), scale * (uv * u - a * v)]
}

function hillAt(point: Point, totals: readonly Weighed[], penalised: boolean): Slopes {
  const shape = shapeAt(point)
  const slopes = inLogits(shape, marginalSlopes(shape, totals))
  if (penalised) {
    const [logit, logSize] = [point[0] - Math.log(9), point[1] - Math.log(10)]
    slopes.height -= 0.5 * (logit * logit + logSize * logSize)
    slopes.u -= logit
    slopes.v -= logSize
    slopes.uu -= 1
    slopes.vv -= 1
  }
  return slopes
}

/** Height, slopes and curvatures of `logMarginal`, in a and b. */
function marginalSlopes([a, b]: Shape, totals: readonly Weighed[]): Slopes {
  const sums = { height: 0, u: 0, v: 0, uu: 0, uv: 0, vv: 0 }
  let all = 0
  for (const { x, y, weight = 1 } of totals) {
    addLogBeta(sums, a + Math.max(0, x), b + Math.max(0, y), weight)
    all += weight
  }
  addLogBeta(sums, a, b, -all)
  return sums
}

function addLogBeta(sums: Slopes, a: number, b: number, times: number): void {
  const slope = digamma(a + b)
  const curvature = trigamma(a + b)
  sums.height += times * logBeta(a, b)
  sums.u += times * (digamma(a) - slope)
  sums.v += times * (digamma(b) - slope)
  sums.uu += times * (trigamma(a) - curvature)
  sums.uv -= times * curvature
  sums.vv += times * (trigamma(b) - curvature)
}

/**
 * Slopes in a and b, turned into those in logit mean and log size: with respect to the one, a changes by s = a b / (a + b)
 * and b by -s; with respect to the other by a and b. The curvatures' last terms are those of a and b themselves.
 */
function inLogits([a, b]: Shape, { height, u, v, uu, uv, vv }: Slopes): Slopes {
  const s = (a * b) / (a + b)
  return {
    height,
    u: s * (u - v),
    v: a * u + b * v,
    uu: s * s * (uu - 2 * uv + vv) + ((s * (b - a)) / (a + b)) * (u - v),
    uv: s * (a * (uu - uv) + b * (uv - vv)) + s * (u - v),
    vv: a * a * uu + 2 * a * b * uv + b * b * vv + a * u + b * v,
  }
}
