import { type Facts, type FileFacts, type PricedFacts, type PricedFile, priceOf } from './facts.ts'
import type { PricedPrint } from './price.ts'
import { cheapestWay, type OfferFacts, type Way } from './rules.ts'

/** What there is to know of a file to say what it costs to the table. */
export interface TabledFile extends PricedFile {
  offers: readonly OfferFacts[]
  inArchive: FileFacts['inArchive']
}

/** A file on its way to the table: how it is had, and what so many good copies take. */
interface Tabled {
  print: PricedPrint
  /** of a price of nothing where it can't be had */
  way: Way
  /** why it can't be had, in words; null where it can */
  whyNot: string | null
  /** expected, the price included, in minor units; to be told only of what can be had */
  costToTableMinor: number
}

/**
 * What so many good copies of a file cost to the table, its price included: the one sum of the answers, of the lists of
 * units, and of a file's own page.
 *
 * @returns undefined for a file that nothing is known of
 */
export function tabled(facts: PricedFacts & Pick<Facts, 'exchange' | 'memberships'>, file: TabledFile, wanted: number) {
  const print = priceOf(facts, file, wanted)
  if (!print) return undefined
  const found = cheapestWay(file.offers, { inArchive: file.inArchive, memberships: facts.memberships }, facts.exchange)
  const whyNot = typeof found === 'string' ? found : null
  const way = typeof found === 'string' ? { offer: null, priceMinor: 0, owned: false } : found
  return { print, way, whyNot, costToTableMinor: print.cost.costToTableMinor + way.priceMinor }
}
