import type { ResinRates } from '../../printing/resins/rules.ts'

/** What a currency was worth on a day, as somebody noted it. */
export interface DatedRate {
  currency: string
  seenOn: string
  worth: number
}

/**
 * The rate that a price of that day is counted at: the newest one seen by then, else the first that was ever seen.
 *
 * @param on `YYYY-MM-DD`
 */
export function rateOn(rates: readonly DatedRate[], currency: string, on: string): number | undefined {
  const own = rates.filter((rate) => rate.currency === currency).sort((a, b) => (a.seenOn < b.seenOn ? -1 : 1))
  return (own.findLast(({ seenOn }) => seenOn <= on) ?? own[0])?.worth
}

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
}

interface Prices {
  cleanUpMinor: number
  timePerHourMinor: number
}

/** Resin of all copies, good and failed, clean-up of those that were lost, and the time of mending; whole minor units. */
export function costOfPrints(printed: readonly Printed[], { cleanUpMinor, timePerHourMinor }: Prices) {
  const lost = printed.reduce((sum, { tried, good, mended }) => sum + tried - good - mended, 0)
  const minutes = printed.reduce((sum, { mendedMinutes }) => sum + (mendedMinutes ?? 0), 0)
  return {
    resinMinor: Math.round(resinOf(printed)),
    cleanUpMinor: lost * cleanUpMinor,
    mendingMinor: Math.round((minutes / 60) * timePerHourMinor),
  }
}

/** Volumes of one price and density are added up first, so that what is one resin is one product. */
function resinOf(printed: readonly Printed[]): number {
  const resins = Map.groupBy(printed, ({ resin }) => `${resin.resinGramsPerMl} ${resin.resinPricePerKgMinor}`)
  return [...resins.values()].reduce((sum, prints) => {
    const ml = prints.reduce((volume, { tried, resinMlPerCopy }) => volume + tried * resinMlPerCopy, 0)
    const { resinGramsPerMl = 0, resinPricePerKgMinor = 0 } = prints[0]?.resin ?? {}
    return sum + (ml * resinGramsPerMl * resinPricePerKgMinor) / 1000
  }, 0)
}
