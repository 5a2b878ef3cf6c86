import { gateForEach } from '../../../http/gate.ts'
import { conflict, Problem } from '../../../http/problem.ts'

/*
 * Whatever one member asks of the planner, the others' plans have their turn, and a plan fits into the memory of a small
 * machine.
 */

/** So many rosters of one member's are planned at a time. */
export const mostPlans = 3

export const tooManyPlans = () =>
  conflict(`Only ${mostPlans} of your rosters can be planned at a time. Wait for one to finish, or stop it.`)

/** Pairs of an entry and a file that stands in for it: three times the largest roster that the solver is measured on. */
const mostPairs = 20_000

/** @throws Problem 422 for a roster that leaves more to choose from than can be planned */
export function expectPlannable(pairs: number): void {
  if (pairs <= mostPairs) return
  const [many, most] = [pairs, mostPairs].map((count) => count.toLocaleString('en-GB'))
  throw new Problem(
    422,
    `The entries leave ${many} files to choose from in all; at most ${most} can be planned. Split the roster into smaller ones.`,
  )
}

const refusal = () =>
  new Problem(429, 'Your rosters are being worked on already. Please send this again in a moment.', { retryAfterS: 10 })

/** A member's plans are begun one after the other. */
export const begins = gateForEach({ atOnce: 1, waiting: 2, refusal })
/** And so are their what-ifs, each of which takes a solver for some seconds. */
export const asks = gateForEach({ atOnce: 1, waiting: 2, refusal })
