import type { Shape } from './beta.ts'
import type { Hyper, Total } from './priors.ts'

/**
 * The sculptor tier within the sweeps: what a set says about its sculptor's mean is taken for so many draws of it.
 * What is shown in the end integrates the mean out (sculptor-grid.ts). Doing so within the sweeps as well was tried on
 * series-a and on ten kinds of simulated groups: it came no nearer to the exact posterior, and takes longer.
 */
type Draws = { good: number; bad: number }

/**
 * How many draws of the sculptor's mean a set's reports are worth: n reports' worth of copies of one file tell less
 * about the sculptor than n copies of n files, n* = n (k + 1) / (n + k), which never exceeds k + 1.
 */
export function drawsOf({ x, y }: Total, k: number): Draws {
  const good = Math.max(0, x)
  const bad = Math.max(0, y)
  const worth = (k + 1) / (good + bad + k)
  return { good: worth * good, bad: worth * bad }
}

/** A sculptor without a record: Beta(mu0 k0, (1 - mu0) k0). */
export function groupPrior({ mu0, k0 }: Hyper): Shape {
  return [mu0 * k0, (1 - mu0) * k0]
}

/** The sculptor's mean, from all of its sets: Beta(A, B). */
export function sculptorRecord(sets: readonly Total[], hyper: Hyper): Shape {
  let [a, b] = groupPrior(hyper)
  for (const set of sets) {
    const draws = drawsOf(set, hyper.k)
    a += draws.good
    b += draws.bad
  }
  return [a, b]
}

/** The same without one of the sets. */
export function withoutSet(record: Shape, set: Total, hyper: Hyper): Shape {
  const draws = drawsOf(set, hyper.k)
  return [Math.max(record[0] - draws.good, 1e-9), Math.max(record[1] - draws.bad, 1e-9)]
}

/**
 * Where a new set of the sculptor starts: Beta(mu k, (1 - mu) k) with mu from Beta(A, B), matched in mean and variance.
 *
 * @param others A, B from the sculptor's *other* sets
 */
export function priorOfSet(others: Shape, hyper: Hyper): Shape {
  const size = Math.max(1, others[0] + others[1])
  const mu = Math.min(0.999, Math.max(0.001, others[0] / (others[0] + others[1])))
  const binomial = mu * (1 - mu)
  const spread = binomial / (size + 1)
  const own = (binomial - spread) / (hyper.k + 1) + spread
  const copies = binomial / own - 1
  return [mu * copies, (1 - mu) * copies]
}
