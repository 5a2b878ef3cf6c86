// The only build of this package that Node can load puts itself on globalThis instead of exporting anything.
import 'fmin'

type NelderMead = (
  of: (point: number[]) => number,
  start: number[],
  parameters: { maxIterations: number; minErrorDelta: number; sigma: number },
) => { x: number[]; fx: number }

/**
 * Least point of a smooth function of few variables, by Nelder and Mead's simplex, begun anew once from where it ended,
 * as a simplex can collapse before it arrives.
 *
 * @param of the function
 * @param start where to begin; a coordinate of 0 is tried with steps of 0.001, others with 5 %
 * @see Nelder & Mead (1965), A simplex method for function minimization, The Computer Journal 7, 308-313
 */
export function leastPoint(of: (point: number[]) => number, start: readonly number[]): number[] {
  const { nelderMead } = (globalThis as unknown as { fmin: { nelderMead: NelderMead } }).fmin
  // sigma 1 ends the search where the simplex would have to shrink: the package's shrinking uses an undeclared variable.
  const parameters = { maxIterations: 200, minErrorDelta: 1e-8, sigma: 1 }
  return nelderMead(of, nelderMead(of, [...start], parameters).x.slice(), parameters).x
}
