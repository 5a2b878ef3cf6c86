import type { Crowding } from './model.ts'

/** Copies of one line that came off a printer on one plate. */
export type Print = {
  /** told again with what comes out, where something failed */
  id?: string
  /** the file with its kind of support, over its revisions */
  line: string
  /** the line's sculptor and kind of support: such lines hint at each other */
  sculptor: string
  good: number
  /** failed copies by what was seen */
  failures: readonly { seen: string; copies: number }[]
  /** worth for the file, 0-1: less on an older revision, or of one member's many copies (power prior); 1 when left out */
  fileWeight?: number
}

/** What came off a printer at once. */
export type Plate = {
  id: string
  /** one printer between two dates of upkeep */
  period: string
  crowding: Crowding
  /** orders the plates of a period; plates of one day go by their ids */
  day: number
  prints: readonly Print[]
}

/** So many copies of one member's on one line and upkeep period count in full. (Common practice, no source.) */
const fullCopies = 10

/**
 * What each of one member's copies on one line and period counts: the first ten in full, those beyond by the square root
 * of their number, since they share whatever that member gets wrong. Alike for all, so that their order does not matter.
 *
 * @param copies that the member has reported there, >= 0
 * @returns above 0, at most 1
 */
export function memberWeight(copies: number): number {
  return copies <= fullCopies ? 1 : (fullCopies + Math.sqrt(copies - fullCopies)) / copies
}
