import type { RetailPer } from '../../../db/tables.ts'
import type { Group } from '../../http/group.ts'
import { fromMinor, type Money } from '../../http/money.ts'
import { type Exchange, exchangeInto } from '../requests/answers/rules.ts'

/** What an entry's models would cost in the shop, as far as it is written down. */
export interface Retail {
  models: number
  retailPriceMinor: number | null
  retailPriceCurrency: string | null
  retailPer: RetailPer
  /** of the unit, where the entry says no price of its own */
  unitPriceMinor: number | null
  unitPriceCurrency: string | null
  modelsPerUnit: number | null
}

/** Boxes that have to be bought for so many models: whole ones. */
export const boxesFor = (models: number, modelsPerUnit: number | null) => Math.ceil(models / (modelsPerUnit ?? 1))

/**
 * Price of the boxes in the group's currency: the entry's own price, else its unit's.
 *
 * @returns minor units; null where no price is known, or no rate for its currency
 */
export function retailMinor(entry: Retail, exchange: Exchange): number | null {
  const own = entry.retailPriceMinor !== null
  const price = own ? entry.retailPriceMinor : entry.unitPriceMinor
  const currency = own ? entry.retailPriceCurrency : entry.unitPriceCurrency
  if (price === null || currency === null) return null
  const pieces = own && entry.retailPer === 'entry' ? 1 : boxesFor(entry.models, entry.modelsPerUnit)
  return exchange(price * pieces, currency) ?? null
}

/** Whether the price of every box is known. */
export function isPriced(entries: readonly Retail[], group: Group): boolean {
  const exchange = exchangeInto(group)
  return entries.every((entry) => retailMinor(entry, exchange) !== null)
}

/** Price of all boxes together, as far as it is known. */
export function retailOf(entries: readonly Retail[], group: Group): Money {
  const exchange = exchangeInto(group)
  const minor = entries.reduce((sum, entry) => sum + (retailMinor(entry, exchange) ?? 0), 0)
  return fromMinor(minor, group.currency)
}
