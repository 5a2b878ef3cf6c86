/** A unit that may be meant by some words. */
export interface Near {
  id: string
  name: string
  setting: string
  scaleMm: number
  modelsPerUnit: number
  /** the words are its name or one of its aliases, apart from accents and capitals */
  exact: boolean
  /** how near the nearest of its names comes, 0 to 1 (trigrams) */
  likeness: number
  /** how much of the words stands in one of its names, 0 to 1: 1 for "riders" in "Ox Riders" */
  within: number
}

/** A typing error or a missing letter leaves about this much of a name ("fen wardns": 0.64, "fen wardesn": 0.6). */
const sureLikeness = 0.5
/** The next best has to be further away by this much, else it could as well be meant. */
const clearBy = 0.15
/** Below this the names have a few letters in common by chance. */
export const askLikeness = 0.3

/**
 * Which unit is meant.
 *
 * @param near the best first
 * @returns the unit where there is no doubt, or those to choose from, none if nothing comes near
 */
export function decide(near: readonly Near[]): { unit: Near } | { nearest: Near[] } {
  const [first, second] = near.toSorted((a, b) => Number(b.exact) - Number(a.exact) || b.likeness - a.likeness)
  if (!first) return { nearest: [] }
  if (first.exact && !second?.exact) return { unit: first }
  const isClear =
    first.likeness >= sureLikeness && first.likeness - (second?.likeness ?? 0) >= clearBy && !bothHold(near)
  if (!first.exact && isClear) return { unit: first }
  return { nearest: near.filter(({ likeness }) => likeness >= askLikeness) }
}

/** Words that stand whole in the names of several units are a part of either: "Riders" of "Heron Riders" and of "Ox Riders". */
const bothHold = (near: readonly Near[]) => near.filter(({ within }) => within > 0.95).length > 1
