import { type Facts, type FileFacts, type PricedFacts, type PricedFile, priceOf } from './facts.ts'
import { cheapestWay, type OfferFacts } from './rules.ts'

/** What there is to know of a file to say what it costs to the table. */
export interface TabledFile extends PricedFile {
  offers: readonly OfferFacts[]
  inArchive: FileFacts['inArchive']
}

/**
 * What so many good copies of a file cost to the table, its price included: the one sum of the answers, of the lists of
 * units, and of a file's own page.
 *
 * @returns how it is had (at a price of nothing where it can't be), why it can't be had in words, and the expected sum in minor
 *   units, to be told only of what can be had; undefined for a file that nothing is known of
 */
export function tabled(facts: PricedFacts & Pick<Facts, 'exchange' | 'memberships'>, file: TabledFile, wanted: number) {
  const print = priceOf(facts, file, wanted)
  if (!print) return undefined
  const found = cheapestWay(file.offers, { inArchive: file.inArchive, memberships: facts.memberships }, facts.exchange)
  const whyNot = typeof found === 'string' ? found : null
  const way = typeof found === 'string' ? { offer: null, priceMinor: 0, owned: false } : found
  return { print, way, whyNot, costToTableMinor: print.cost.costToTableMinor + way.priceMinor }
}
