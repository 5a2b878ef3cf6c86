const quarters = ['', '¼', '½', '¾']

/** "40 min", "4 ¼ h": to the quarter of an hour, as a person says it. */
export function hoursWords(hours: number): string {
  const rounded = Math.round(hours * 4)
  if (rounded < 4) return `${Math.round(hours * 60)} min`
  return [Math.floor(rounded / 4), quarters[rounded % 4]].filter(Boolean).join(' ').concat(' h')
}

/** "1.3 l", "250 ml", "8.4 ml": a volume as a person says it. */
export function volumeWords(ml: number): string {
  if (ml >= 1000) return `${Math.round(ml / 100) / 10} l`
  return ml >= 100 ? `${Math.round(ml)} ml` : `${Math.round(ml * 10) / 10} ml`
}

/** "1 plate", "3 plates". */
export const counted = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`

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
