import type { ResinRates } from '../../printing/resins/rules.ts'

/** A report as far as it costs something. */
export interface Printed {
  tried: number
  good: number
  /** of the failed copies, those that were saved by hand: models like any other */
  mended: number
  /** how long that took; null when not told */
  mendedMinutes: number | null
  resinMlPerCopy: number
  /** what it was printed with, at its present price */
  resin: ResinRates
  /** copies on the whole plate, those of other prints included */
  onPlate: { tried: number; good: number }
}

interface Prices {
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
  const { perPlateMinor, timePerHourMinor } = prices
  const sum = (of: (print: Printed) => number) => printed.reduce((total, print) => total + of(print), 0)
  const lost = sum(({ tried, good, mended }) => tried - good - mended)
  const failedPlates = sum((print) => (print.onPlate.good < print.onPlate.tried ? shareOfPlate(print) : 0))
  return {
    resinMinor: Math.round(resinOf(printed)),
    platesMinor: Math.round(sum(shareOfPlate) * perPlateMinor),
    cleanUpMinor: Math.round(lost * prices.cleanUpMinor + failedPlates * prices.cleanUpPerPlateMinor),
    mendingMinor: Math.round((sum(({ mendedMinutes }) => mendedMinutes ?? 0) / 60) * timePerHourMinor),
  }
}

const shareOfPlate = ({ tried, onPlate }: Printed) => tried / onPlate.tried

/** Volumes of one price and density are added up first, so that what is one resin is one product. */
function resinOf(printed: readonly Printed[]): number {
  const resins = Map.groupBy(printed, ({ resin }) => `${resin.resinGramsPerMl} ${resin.resinPricePerKgMinor}`)
  return [...resins.values()].reduce((sum, prints) => {
    const ml = prints.reduce((volume, { tried, resinMlPerCopy }) => volume + tried * resinMlPerCopy, 0)
    const { resinGramsPerMl = 0, resinPricePerKgMinor = 0 } = prints[0]?.resin ?? {}
    return sum + (ml * resinGramsPerMl * resinPricePerKgMinor) / 1000
  }, 0)
}
