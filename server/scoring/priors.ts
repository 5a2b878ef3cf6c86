import type { Shape } from './beta.ts'

export const crowdings = ['loose', 'normal', 'packed'] as const
export type Crowding = (typeof crowdings)[number]

/** Success of a plate by its crowding before any report. (Common practice, no source.) */
export const platePriors: Readonly<Record<Crowding, Shape>> = { loose: [49, 1], normal: [19, 1], packed: [9, 1] }

/** What the group as a whole is taken to be like; learnt by the full fit, fixed in between. */
export type Hyper = {
  /** mean success of a sculptor's files */
  readonly mu0: number
  /** how alike sculptors are: a sculptor's mean is Beta(mu0 k0, (1 - mu0) k0) */
  readonly k0: number
  /** how alike one sculptor's files are: a file's success is Beta(mu k, (1 - mu) k) */
  readonly k: number
  /** a printer's success after upkeep is Beta(am, bm) */
  readonly am: number
  readonly bm: number
}

/** Before anything has been learnt. (Common practice, no source.) */
export const startingHyper: Hyper = { mu0: 0.85, k0: 10, k: 10, am: 9, bm: 1 }

/** Copies of one plate share their fate: each copy of a report of n counts 1 / (1 + (n - 1) rho). */
export const startingRho = 0.1

/**
 * Worth of one copy of a report of n.
 *
 * @param tried n, copies on the plate, >= 1
 * @param rho correlation within a plate, 0-1; 0 makes every copy count in full
 */
export function copyWeight(tried: number, rho: number): number {
  return 1 / (1 + (tried - 1) * rho)
}

/** A node's evidence: copies' worth of success (x) and failure (y), prior left out. */
export type Total = { x: number; y: number }
