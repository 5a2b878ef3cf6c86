/** "4 h 15 min" */
export function hoursWords(hours: number): string {
  const minutes = Math.round(hours * 60)
  return minutes < 60 ? `${minutes} min` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`
}
