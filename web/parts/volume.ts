/** "1.3 l", "250 ml", "8.4 ml": a volume as a person says it. */
export function volumeWords(ml: number): string {
  if (ml >= 1000) return `${Math.round(ml / 100) / 10} l`
  return ml >= 100 ? `${Math.round(ml)} ml` : `${Math.round(ml * 10) / 10} ml`
}
