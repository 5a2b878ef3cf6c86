import { copyWeight, startingRho } from './priors.ts'

/** So many copies' worth of one member's reports on the same supports and printer period count in full. */
export const fullCopies = 10

/**
 * What so many copies' worth count in all: in full up to ten, then less and less, and never as much as twenty. A member's
 * reports on one thing share whatever that member gets wrong, so no number of them tells more than a few others' would.
 * (Common practice, no source. With the slope starting at 1 and falling with the square, as a design effect has it.)
 *
 * @param copies copies' worth, each plate's share taken off (copyWeight)
 */
export function countedCopies(copies: number): number {
  return copies <= fullCopies ? copies : 2 * fullCopies - fullCopies ** 2 / copies
}

/**
 * The weight of each of one member's reports on the same supports and printer period: alike for all of them, so that
 * neither their order nor their number of plates matters.
 *
 * @param copies worth of all of these reports together (worthOfPlate)
 * @returns above 0, at most 1
 */
export function memberWeight(copies: number): number {
  return copies <= fullCopies ? 1 : countedCopies(copies) / copies
}

/** Copies' worth of a plate, whose copies share their fate. */
export function worthOfPlate(tried: number, rho = startingRho): number {
  return tried * copyWeight(Math.max(1, tried), rho)
}
