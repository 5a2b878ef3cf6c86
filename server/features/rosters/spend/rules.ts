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
  resinMlPerCopy: number
}

interface Prices {
  resinGramsPerMl: number
  resinPricePerKgMinor: number
  cleanUpMinor: number
}

/** Resin of all copies, good and failed, and clean-up of the failed ones; whole minor units. */
export function costOfPrints(
  printed: readonly Printed[],
  { resinGramsPerMl, resinPricePerKgMinor, cleanUpMinor }: Prices,
) {
  const ml = printed.reduce((sum, { tried, resinMlPerCopy }) => sum + tried * resinMlPerCopy, 0)
  const failed = printed.reduce((sum, { tried, good }) => sum + tried - good, 0)
  return {
    resinMinor: Math.round((ml * resinGramsPerMl * resinPricePerKgMinor) / 1000),
    cleanUpMinor: failed * cleanUpMinor,
  }
}
