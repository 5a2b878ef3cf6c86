// biome-ignore-all lint/style/noNonNullAssertion: arrays indexed within their bounds by construction
/*
 * Copies of one plate share their fate: their successes are exchangeable draws around the plate's own, which is Beta
 * around the stage's, with correlation rho. Read as a Chinese restaurant, copies sit down in *events*, each of which
 * passes or fails as one; so what a plate says is a polynomial in p and q = 1 - p, one power an event.
 *
 * @see Blackwell & MacQueen (1973), Ferguson distributions via Polya urn schemes, Annals of Statistics 1, 353-355
 */

/** Beyond so many copies a plate's sum is replaced by its integral. */
export const manyCopies = 64

/** Size of the Beta that scatters a plate's own success around the stage's: without correlation it does not scatter. */
export function sizeOfTies(rho: number): number {
  return rho === 0 ? Number.POSITIVE_INFINITY : 1 / rho - 1
}

/**
 * Into how many events copies of one outcome are expected to fall.
 *
 * @param copies >= 0; a fraction counts as one of the next copy
 * @param chance of the outcome
 * @param size see sizeOfTies
 */
export function expectedEvents(copies: number, chance: number, size: number): number {
  if (size === Number.POSITIVE_INFINITY) return copies
  const own = size * chance
  let events = 0
  for (let copy = 0; copy < Math.min(copies, manyCopies); copy++) {
    events += Math.min(1, copies - copy) * (own / (own + copy))
  }
  return copies > manyCopies ? events + own * Math.log((own + copies - 0.5) / (own + manyCopies - 0.5)) : events
}

/**
 * How likely copies of one outcome are to have fallen into 1, 2, … events: the terms of the rising factorial of size
 * times chance.
 *
 * @returns shares that add to 1, indexed by the number of events
 */
export function eventShares(copies: number, chance: number, size: number): number[] {
  if (size === Number.POSITIVE_INFINITY) return [...new Array<number>(copies).fill(0), 1]
  let shares = [1]
  for (let copy = 0; copy < copies; copy++) {
    const own = (size * chance) / (size * chance + copy)
    const next = new Array<number>(shares.length + 1).fill(0)
    shares.forEach((share, events) => {
      next[events]! += share * (1 - own)
      next[events + 1]! += share * own
    })
    shares = next
  }
  return shares
}

/** Logarithm of the chance that the plate's copies pass, or fail, as they did: up to a constant of their number. */
export function logChanceOfPlate(passed: number, failed: number, chance: number, size: number): number {
  if (size === Number.POSITIVE_INFINITY) return passed * Math.log(chance) + failed * Math.log(1 - chance)
  let log = 0
  for (let copy = 0; copy < passed; copy++) log += Math.log(size * chance + copy)
  for (let copy = 0; copy < failed; copy++) log += Math.log(size * (1 - chance) + copy)
  return log
}
