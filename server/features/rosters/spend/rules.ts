/** A report as far as it costs something. */
export interface Printed {
  tried: number
  good: number
  /** of the failed copies, those that were saved by hand: models like any other */
  mended: number
  /** how long that took; null when not told */
  mendedMinutes: number | null
  resinMlPerCopy: number
}

interface Prices {
  resinGramsPerMl: number
  resinPricePerKgMinor: number
  cleanUpMinor: number
  timePerHourMinor: number
}

/** Resin of all copies, good and failed, clean-up of those that were lost, and the time of mending; whole minor units. */
export function costOfPrints(printed: readonly Printed[], prices: Prices) {
  const { resinGramsPerMl, resinPricePerKgMinor, cleanUpMinor, timePerHourMinor } = prices
  const ml = printed.reduce((sum, { tried, resinMlPerCopy }) => sum + tried * resinMlPerCopy, 0)
  const lost = printed.reduce((sum, { tried, good, mended }) => sum + tried - good - mended, 0)
  const minutes = printed.reduce((sum, { mendedMinutes }) => sum + (mendedMinutes ?? 0), 0)
  return {
    resinMinor: Math.round((ml * resinGramsPerMl * resinPricePerKgMinor) / 1000),
    cleanUpMinor: lost * cleanUpMinor,
    mendingMinor: Math.round((minutes / 60) * timePerHourMinor),
  }
}
