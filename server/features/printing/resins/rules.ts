import type { Bottle } from '../../../http/bottle.ts'
import type { Group } from '../../../http/group.ts'
import { convertMinor } from '../../../http/money.ts'
import type { CountedResin } from './schema.ts'

/** What resin costs and weighs for somebody, in the group's currency. */
export type ResinRates = Pick<Group, 'resinGramsPerMl' | 'resinPricePerKgMinor'>

type Priced = Omit<Bottle, 'id' | 'name'>
type Exchanging = Pick<Group, 'currency' | 'rates'>

/**
 * What a kilogram out of a bottle costs in the group's currency.
 *
 * @returns minor units, with fractions; undefined where the group keeps no rate for what the bottle was paid in
 */
export function perKgMinor(bottle: Priced, { currency, rates }: Exchanging): number | undefined {
  const { priceMinor, priceCurrency, bottleG, bottleMl, gramsPerMl } = bottle
  const rate = priceCurrency === currency ? 1 : rates[priceCurrency]
  if (rate === undefined) return undefined
  const grams = bottleG ?? (bottleMl === null ? 1000 : bottleMl * gramsPerMl)
  return (1000 * convertMinor(priceMinor, priceCurrency, currency, rate)) / grams
}

/**
 * What counts for whoever prints with this bottle: its own density, and its price. Where the price can't be exchanged the
 * group's counts, as it does in all for whoever has no bottle.
 */
export const ratesOf = (bottle: Priced | null, group: Exchanging & ResinRates): ResinRates =>
  bottle === null
    ? { resinGramsPerMl: group.resinGramsPerMl, resinPricePerKgMinor: group.resinPricePerKgMinor }
    : {
        resinGramsPerMl: bottle.gramsPerMl,
        resinPricePerKgMinor: perKgMinor(bottle, group) ?? group.resinPricePerKgMinor,
      }

/** A bottle as it is said beside what was counted with it. @returns null where the group's settings count */
export const countedResin = (bottle: Bottle | null, group: Exchanging): CountedResin | null =>
  bottle && {
    name: bottle.name,
    gramsPerMl: bottle.gramsPerMl,
    withoutRate: perKgMinor(bottle, group) === undefined ? bottle.priceCurrency : null,
  }
