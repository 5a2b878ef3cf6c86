import { type Selectable, sql } from 'kysely'
import type { Tables } from '../../db/tables.ts'

/** A bottle of resin, by its price and its size; without a size the price is for a kilogram. */
export type Bottle = Pick<
  Selectable<Tables['resin']>,
  'id' | 'name' | 'priceMinor' | 'priceCurrency' | 'bottleG' | 'bottleMl' | 'gramsPerMl'
>

/** A row of `resin` as a bottle. */
export const bottle = sql<Bottle>`json_build_object('id', resin.id, 'name', resin.name, 'priceMinor', price_minor,
  'priceCurrency', price_currency, 'bottleG', bottle_g, 'bottleMl', bottle_ml, 'gramsPerMl', grams_per_ml)`

/** The usual one of a row of `member`; null where they have none. */
export const usualBottle = sql<Bottle | null>`(
  select ${bottle} from resin where resin.id = member.default_resin_id
)`
