import { Money, type MoneyValue } from './money.tsx'

export interface Bottle {
  price: MoneyValue
  bottleG: number | null
  bottleMl: number | null
}

/** "€32.00 for 1000 g": what a bottle cost, by weight, by volume, or a kilogram where nobody said how much is in it. */
export function Paid({ price, bottleG, bottleMl }: Bottle) {
  const size = bottleG === null ? (bottleMl === null ? 'a kilogram' : `${bottleMl} ml`) : `${bottleG} g`
  return (
    <>
      <Money value={price} /> for {size}
    </>
  )
}
