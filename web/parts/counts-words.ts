/**
 * What doesn't add up in the counts of a print: the same words beside the fields and where the report is refused.
 *
 * @returns null where nothing is wrong
 */
export function wrongSum(good: number, failed: number, tried: number): string | null {
  if (good + failed === tried) return null
  const than = good + failed > tried ? 'more' : 'fewer'
  return `${good} good and ${failed} failed are ${than} than the ${tried} on the plate.`
}
