import type { OfferKind, OfferState, Severity } from '../../../../db/tables.ts'
import type { Group } from '../../../http/group.ts'
import { convertMinor } from '../../../http/money.ts'

/** An offer as far as its price to one member matters. */
export interface OfferFacts {
  id: string
  kind: OfferKind
  priceMinor: number
  priceCurrency: string
  minMonths: number | null
  state: OfferState
}

/** What the member has already; nothing when they ask for the group's view. */
export interface Belongings {
  inArchive: boolean
  /** Offers of kind membership that run. */
  memberships: ReadonlySet<string>
}

/** How one gets a file: the cheapest offer, or none needed. */
export interface Way {
  offer: { id: string; kind: OfferKind } | null
  priceMinor: number
  /** Had already: in the archive, or opened by a running membership. */
  owned: boolean
}

/** Turns minor units of a currency into the group's; undefined when the group keeps no rate. */
export type Exchange = (minor: number, currency: string) => number | undefined

export function exchangeInto({ currency: own, rates }: Pick<Group, 'currency' | 'rates'>): Exchange {
  return (minor, currency) => {
    if (currency === own) return minor
    const rate = rates[currency]
    return rate === undefined ? undefined : convertMinor(minor, currency, own, rate)
  }
}

/**
 * The cheapest way to get a file. A membership costs its months; a bundle its whole price, since one request pays for
 * it alone; "members only" is open to whoever runs a membership that opens the file.
 *
 * @returns the way, or in words why there is none
 */
export function cheapestWay(offers: readonly OfferFacts[], has: Belongings, exchange: Exchange): Way | string {
  if (has.inArchive) return { offer: null, priceMinor: 0, owned: true }
  const running = offers.find((offer) => has.memberships.has(offer.id))
  if (running) return { offer: { id: running.id, kind: running.kind }, priceMinor: 0, owned: true }
  const open = offers.filter((offer) => offer.state === 'on sale')
  const [first, ...others] = open.flatMap((offer) => priced(offer, exchange))
  if (!first) return whyNot(offers, open)
  return others.reduce((best, one) => (one.priceMinor < best.priceMinor ? one : best), first)
}

/** Months that a membership has to run; null for what is paid once. */
export const monthsOf = ({ kind, minMonths }: Pick<OfferFacts, 'kind' | 'minMonths'>) =>
  kind === 'membership' ? (minMonths ?? 1) : null

/** Whether an open snag keeps a file from being printed. */
export const stopsPrint = ({ severity }: { severity: Severity }) => severity === 'stops the print'

function priced(offer: OfferFacts, exchange: Exchange): Way[] {
  const priceMinor = exchange(offer.priceMinor * (monthsOf(offer) ?? 1), offer.priceCurrency)
  return priceMinor === undefined ? [] : [{ offer: { id: offer.id, kind: offer.kind }, priceMinor, owned: false }]
}

function whyNot(offers: readonly OfferFacts[], open: readonly OfferFacts[]): string {
  if (open.length > 0)
    return `The group has no exchange rate for ${[...new Set(open.map((o) => o.priceCurrency))].join(', ')}.`
  if (offers.length === 0) return 'Nobody has noted an offer yet.'
  if (offers.some((offer) => offer.state === 'members only')) return 'It is for the sculptor’s members only.'
  return 'Every offer has been withdrawn.'
}
