import type { Shape } from './beta.ts'
import type { Stage } from './labels.ts'

/** How full a plate is. */
export const crowdings = ['half empty', 'about full', 'packed'] as const
export type Crowding = (typeof crowdings)[number]

/** Success of a plate by its crowding before any report. (Common practice, no source.) */
export const platePriors: Readonly<Record<Crowding, Shape>> = {
  'half empty': [49, 1],
  'about full': [19, 1],
  packed: [9, 1],
}

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

/** In the middle of the priors of the group; `--hold` keeps them. (Common practice, no source.) */
export const startingHyper: Hyper = { mu0: 0.85, k0: 10, k: 10, am: 9, bm: 1 }

/** A normal prior, on the logit scale for means and the logarithmic one for sizes. (Common practice, no source.) */
type Normal = readonly [mean: number, sd: number]

export const hyperPriors = {
  logitMu0: [Math.log(0.85 / 0.15), 0.5],
  logK0: [Math.log(10), 0.8],
  logK: [Math.log(10), 0.8],
  logitMachine: [Math.log(19), 0.7],
  logSizeOfMachine: [Math.log(20), 1],
} as const satisfies Record<string, Normal>

/** A worn machine's success. (Common practice, no source.) */
export const wornPrior: Shape = [4, 4]
/** The chance that a plate is the first one of a worn machine. (Common practice, no source.) */
export const hazardPrior: Shape = [1, 40]
/** The share of failed copies of which anything was noted without looking. (Common practice, no source.) */
export const blindPrior: Shape = [2, 14]
/** So many failed copies' worth the table of what is seen weighs, by cause, before any report. */
export const tableWeight = 15

/** What the correlation of a plate's copies may be at one stage. */
export const rhoGrid = [0.02, 0.05, 0.1, 0.2, 0.35, 0.55, 0.75] as const
/**
 * What each of these weighs before any report, by stage: a torn film takes most of a plate, a full plate hardly more than
 * some of its copies. Were all alike, two pictures would fit a large group: what fails together is the machine's, or it
 * is the plate's. (Common practice, no source; measured: test/study/RESULTS.md.)
 */
export const rhoWeights = {
  file: [1, 1, 1, 1, 1, 1, 1],
  machine: [0.1, 0.3, 1, 1, 1, 1, 1],
  plate: [1, 1, 1, 0.3, 0.1, 0.03, 0.01],
} as const satisfies Readonly<Record<Stage, readonly number[]>>

/** Odds of correlation, rho / (1 - rho) = 1 / a: what one failed copy adds to the odds of the next; 0 for none. */
export function tieOf(rho: number): number {
  return rho / (1 - rho)
}
