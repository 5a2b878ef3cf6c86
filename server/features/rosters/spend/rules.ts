/** A report as far as it costs something. */
export interface Printed {
  tried: number
  good: number
  /** of the failed copies, those that were saved by hand: models like any other */
  mended: number
  /** how long that took; null when not told */
  mendedMinutes: number | null
  resinMlPerCopy: number
  /** copies on the whole plate, those of other prints included */
  onPlate: { tried: number; good: number }
}

interface Prices {
  resinGramsPerMl: number
  resinPricePerKgMinor: number
  perPlateMinor: number
  cleanUpMinor: number
  cleanUpPerPlateMinor: number
  timePerHourMinor: number
}

/**
 * What prints have cost, in whole minor units: resin of all copies, good and failed; their plates; clean-up of the copies
 * that were lost, and of the plates on which anything failed; and the time of mending. These are the terms that a ranking
 * expects (`server/scoring/cost.ts`). Of a plate with several prints each bears its share by the number of its copies.
 */
export function costOfPrints(printed: readonly Printed[], prices: Prices) {
  const { resinGramsPerMl, resinPricePerKgMinor, perPlateMinor, timePerHourMinor } = prices
  const sum = (of: (print: Printed) => number) => printed.reduce((total, print) => total + of(print), 0)
  const lost = sum(({ tried, good, mended }) => tried - good - mended)
  const failedPlates = sum((print) => (print.onPlate.good < print.onPlate.tried ? shareOfPlate(print) : 0))
  return {
    resinMinor: Math.round(
      (sum(({ tried, resinMlPerCopy }) => tried * resinMlPerCopy) * resinGramsPerMl * resinPricePerKgMinor) / 1000,
    ),
    platesMinor: Math.round(sum(shareOfPlate) * perPlateMinor),
    cleanUpMinor: Math.round(lost * prices.cleanUpMinor + failedPlates * prices.cleanUpPerPlateMinor),
    mendingMinor: Math.round((sum(({ mendedMinutes }) => mendedMinutes ?? 0) / 60) * timePerHourMinor),
  }
}

const shareOfPlate = ({ tried, onPlate }: Printed) => tried / onPlate.tried
