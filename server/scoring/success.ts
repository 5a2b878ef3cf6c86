import { below, intervalEnds, mean, quantile, type Shape, type Summary, summary } from './beta.ts'
import { type Crowding, type Hyper, platePriors, type Total } from './priors.ts'
import { matchedSuccess, type Part, sculptorGrid, successParts } from './sculptor-grid.ts'
import { isEvident } from './sculptors.ts'

/** Mean and 80 % interval of a success, and how many copies' worth of evidence stand behind it. */
export type Success = Summary & { copies: number; shape: Shape }

/**
 * Print success of a support set: its own reports, and its sculptor's other sets through the sculptor's mean, which is
 * integrated out on a grid. Mean and interval are those of the mixture; `shape` is the one Beta nearest to it.
 *
 * @param set its total; 0, 0 for a set nobody has printed
 * @param others totals of the same sculptor's other sets; none for a sculptor without a record
 */
export function successOfSet(set: Total, others: readonly Total[], hyper: Hyper): Success {
  const grid = sculptorGrid([set, ...others].filter(isEvident), hyper)
  const shape = matchedSuccess(grid, set)
  const parts = successParts(grid, set)
  const [low, high] = intervalEnds.map((chance) => mixtureQuantile(parts, chance, quantile(shape, chance)))
  return { mean: mean(shape), low: low ?? 0, high: high ?? 1, copies: copiesOf(set), shape }
}

/** Success of a printer since its last upkeep. */
export function successOfPeriod(period: Total, hyper: Hyper): Success {
  return plainSuccess([hyper.am, hyper.bm], period)
}

/** Success of a plate of one crowding. */
export function successOfPlate(crowding: Crowding, plate: Total): Success {
  return plainSuccess(platePriors[crowding], plate)
}

function plainSuccess([a, b]: Shape, total: Total): Success {
  const shape: Shape = [a + total.x, b + total.y]
  return { ...summary(shape), copies: copiesOf(total), shape }
}

/** Copies' worth of evidence; an uncertain blame can leave a total slightly below 0. */
export function copiesOf({ x, y }: Total): number {
  return Math.max(0, x + y)
}

/**
 * The point below which a mixture of Betas has the given chance, by false position with halving (Illinois), from a
 * first guess near it.
 */
function mixtureQuantile(parts: readonly Part[], chance: number, guess: number): number {
  const excess = (at: number) => parts.reduce((sum, { weight, shape }) => sum + weight * below(shape, at), -chance)
  let [low, high] = [0, 1]
  let [atLow, atHigh] = [-chance, 1 - chance]
  let at = guess
  for (let round = 0; round < 60 && high - low > 1e-9; round++) {
    const value = excess(at)
    if (Math.abs(value) < 1e-9) return at
    if (value < 0) {
      ;[low, atLow] = [at, value]
      atHigh /= 2
    } else {
      ;[high, atHigh] = [at, value]
      atLow /= 2
    }
    const next = low - (atLow * (high - low)) / (atHigh - atLow)
    at = next > low && next < high ? next : (low + high) / 2
  }
  return at
}
