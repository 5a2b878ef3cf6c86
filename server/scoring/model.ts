// biome-ignore-all lint/style/noNonNullAssertion: arrays indexed within their bounds by construction
import type { Stage } from './labels.ts'
import { logistic } from './logit.ts'

/** A Beta distribution by its two parameters: a grows with successes, b with failures; both > 0. */
export type Shape = readonly [a: number, b: number]

/** How full a plate is. */
export const crowdings = ['half empty', 'about full', 'packed'] as const
export type Crowding = (typeof crowdings)[number]

/** What the correlation of a plate's copies may be at one stage. */
export const rhoGrid = [0.02, 0.05, 0.1, 0.2, 0.35, 0.55, 0.75] as const

/** Odds of correlation, rho / (1 - rho) = 1 / a: what one failed copy adds to the odds of the next; 0 for none. */
export function tieOf(rho: number): number {
  return rho / (1 - rho)
}

/** What is likely before any report. (Common practice, no source; those of `rho` and `table` were measured: README.md.) */
export const priors = {
  /** success of a plate */
  plate: { 'half empty': [49, 1], 'about full': [19, 1], packed: [9, 1] } satisfies Record<Crowding, Shape>,
  /** success of a worn machine */
  worn: [4, 4],
  /** the chance that a plate is the first one of a worn machine; so firm because no film fades in one step: README.md */
  hazard: [20, 800],
  /** the share of failed copies of which anything was noted without looking */
  blind: [2, 14],
  /** so many failed copies' worth the table of what is seen weighs, by cause */
  table: 15,
  /**
   * What each correlation of the grid weighs: a torn film takes most of a plate, a full plate hardly more than some of its
   * copies. Were all alike, two pictures would fit a large group: what fails together is the machine's, or the plate's.
   */
  rho: {
    file: [1, 1, 1, 1, 1, 1, 1],
    machine: [0.1, 0.3, 1, 1, 1, 1, 1],
    plate: [1, 1, 1, 0.3, 0.1, 0.03, 0.01],
  } satisfies Record<Stage, readonly number[]>,
  /** mean and standard deviation of hyperparameters on the scales on which they are drawn (`coordinates`) */
  hyper: [
    [Math.log(0.85 / 0.15), 0.5],
    [Math.log(10), 0.8],
    [Math.log(10), 0.8],
    [Math.log(19), 0.7],
    [Math.log(20), 1],
  ],
} as const

/** What a plate still tells of its machine as it is now, for each plate since: a worn film goes on fading, rooms grow cold. */
export const remembered = { worn: 0.8, inOrder: 0.95 } as const

/** What a group as a whole is like; the README of this folder has the symbols. */
export type Hyper = {
  /** mean success of a sculptor's files */
  readonly mu0: number
  /** how alike sculptors are: a sculptor's mean is Beta(mu0 k0, (1 - mu0) k0) */
  readonly k0: number
  /** how alike one sculptor's files are: a line's success is Beta(mu k, (1 - mu) k) */
  readonly k: number
  /** a machine in order is Beta(am, bm) */
  readonly am: number
  readonly bm: number
}

/** In the middle of the priors of the group; `--hold` keeps them. */
export const startingHyper: Hyper = { mu0: 0.85, k0: 10, k: 10, am: 9, bm: 1 }

/** Logit of mu0, log k0, log k, logit of am / (am + bm), log (am + bm). */
export function coordinates({ mu0, k0, k, am, bm }: Hyper): Float64Array {
  return Float64Array.of(Math.log(mu0 / (1 - mu0)), Math.log(k0), Math.log(k), Math.log(am / bm), Math.log(am + bm))
}

/** And back. */
export function hyperAt(at: ArrayLike<number>): Hyper {
  const [machine, size] = [at[3]!, Math.exp(at[4]!)]
  return {
    mu0: logistic(at[0]!),
    k0: Math.exp(at[1]!),
    k: Math.exp(at[2]!),
    am: size / (1 + Math.exp(-machine)),
    bm: size / (1 + Math.exp(machine)),
  }
}
