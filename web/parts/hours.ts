const quarters = ['', '¼', '½', '¾']

/** "40 min", "4 ¼ h": to the quarter of an hour, as a person says it. */
export function hoursWords(hours: number): string {
  const rounded = Math.round(hours * 4)
  if (rounded < 4) return `${Math.round(hours * 60)} min`
  return [Math.floor(rounded / 4), quarters[rounded % 4]].filter(Boolean).join(' ').concat(' h')
}
