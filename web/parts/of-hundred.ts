/**
 * A chance as a whole number of 100, wherever one is told or drawn beside its number: never all or none of them while it
 * is only likely.
 *
 * @param chance 0 to 1
 * @returns 1 to 99
 */
export const hundredths = (chance: number): number => Math.min(99, Math.max(1, countedHundredths(chance)))

/** A share of what was counted or summed, as a whole number of 100: all or none of them where it is so. */
export const countedHundredths = (share: number): number => Math.round(share * 100)

/** "91 of 100": a chance in words. */
export const ofHundred = (chance: number): string => `${hundredths(chance)} of 100`
