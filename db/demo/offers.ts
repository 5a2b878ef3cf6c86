import type { Insertable } from 'kysely'
import { z } from 'zod'
import type { OfferKind, OfferState, Tables } from '../tables.ts'
import { later, type Making } from './calendar.ts'
import { keyIn, maybe, story } from './described.ts'
import { files as described } from './files/described.ts'
import { type FileKey, fileKeys, fileOf, type MadeFiles } from './files/index.ts'
import { type MemberIds, members, somebody } from './members.ts'
import data from './offers.json' with { type: 'json' }
import { type Random, randomFrom, shuffled } from './random.ts'
import { sculptors } from './sculptors.ts'

/** An offer before it has a past. */
interface DemoOffer {
  kind: OfferKind
  title?: string
  price: number
  currency: string
  minMonths?: number
  /** without `https://` */
  at: string
  files: readonly FileKey[]
  state?: OfferState
  /** days since it was first seen; left out: when its files were */
  seen?: number
  /** days since it was withdrawn; left out: some day of the last months */
  ended?: number
}

const wide = z.strictObject({
  title: z.string(),
  by: keyIn(sculptors),
  price: z.int().describe("in minor units of the sculptor's currency; of a membership: a month"),
  minMonths: maybe(z.int()),
  files: z.array(keyIn(described)),
  state: maybe(z.enum(['on sale', 'members only', 'withdrawn'])),
  ended: maybe(z.int()).describe('days since it was withdrawn'),
  story,
})
type WideOffer = z.infer<typeof wide>

export type MembershipKey = keyof typeof data.memberships
const { bundles, running, givenAway, mirrored, gone, forMembersOnly, memberships } = z
  .strictObject({
    memberships: z.record(z.string(), wide),
    bundles: z.array(wide),
    running: z.array(z.tuple([keyIn(members), keyIn(data.memberships)])).describe('Whose memberships run.'),
    givenAway: z.array(keyIn(described)).describe('Free now; sold until then, and that offer is withdrawn.'),
    mirrored: z.array(keyIn(described)).describe('Free ones that a second shop gives away as well.'),
    gone: z.array(keyIn(described)).describe('Files whose every offer is gone.'),
    forMembersOnly: z.array(keyIn(described)).describe('Sold by their sculptor to subscribers alone.'),
  })
  .parse(data)
const givenAwaySince = 90
const goneSince = 140

const isFree = (key: FileKey) => fileOf(key).about.sculptor === 'slake' || givenAway.some((one) => one === key)
const placeOf = (key: FileKey) => `${sculptors[fileOf(key).about.sculptor].shop}/${key}`

function sold(key: FileKey): DemoOffer[] {
  const { price, sculptor } = fileOf(key).about
  if (price === undefined) return []
  const { currency, alsoAtStall } = sculptors[sculptor]
  const whole: DemoOffer = { kind: 'purchase', price, currency, at: placeOf(key), files: [key] }
  const ended = isFree(key) ? givenAwaySince : goneSince
  const withdrawn = gone.includes(key) || isFree(key) ? { state: 'withdrawn' as const, ended } : {}
  const first = { ...whole, ...(forMembersOnly.includes(key) ? { state: 'members only' as const } : {}), ...withdrawn }
  return alsoAtStall ? [first, { ...whole, ...atStall(key, price, currency), ...withdrawn }] : [first]
}

/** The second shop sells in euros, a little dearer or cheaper; its addresses tell nothing of the sculptor. */
function atStall(key: FileKey, price: number, currency: string) {
  const inEuros = { EUR: 1, USD: 0.9, GBP: 1.15, JPY: 0.6 }[currency] ?? 1
  const random = randomFrom(`stall ${key}`)
  return {
    price: toFifty(price * inEuros * (0.95 + 0.2 * random.next())),
    currency: 'EUR',
    at: `stall-street.example/${key}`,
  }
}

const toFifty = (minor: number) => Math.max(50, Math.round(minor / 50) * 50)

function demoOffers(): DemoOffer[] {
  const free = (key: FileKey, at: string): DemoOffer => ({
    kind: 'free',
    price: 0,
    currency: 'EUR',
    at,
    files: [key],
    ...(fileOf(key).about.price === undefined ? {} : { seen: givenAwaySince }),
  })
  const wide =
    (kind: OfferKind) =>
    ({ by, title, ...offer }: WideOffer): DemoOffer => {
      const { shop, currency } = sculptors[by]
      return { kind, title, currency, at: `${shop}/${title.toLowerCase().replaceAll(/[^a-z]+/g, '-')}`, ...offer }
    }
  return [
    ...fileKeys.flatMap(sold),
    ...fileKeys.filter(isFree).map((key) => free(key, placeOf(key))),
    ...mirrored.map((key) => free(key, `stall-street.example/${key}`)),
    ...bundles.map(wide('bundle')),
    ...Object.values<WideOffer>(memberships).map(wide('membership')),
  ]
}

export interface MadeOffers {
  rows: Insertable<Tables['offer']>[]
  files: Insertable<Tables['offerFile']>[]
  prices: Insertable<Tables['offerPrice']>[]
  membershipIds: Record<MembershipKey, string>
}

export function makeOffers(making: Making, files: MadeFiles, memberIds: MemberIds): MadeOffers {
  const random = randomFrom('offers')
  const made: MadeOffers = { rows: [], files: [], prices: [], membershipIds: {} as Record<MembershipKey, string> }
  const offers = demoOffers()
  const endangered = offers.filter(({ kind, at, state }) => kind === 'purchase' && at.startsWith('stall') && !state)
  const withdrawn = new Set(shuffled(endangered, random).slice(0, 4))
  for (const offer of offers) {
    const ended = withdrawn.has(offer) ? { ...offer, state: 'withdrawn' as const } : offer
    addOffer(making, made, ended, files, memberIds, random)
  }
  return made
}

function addOffer(
  { calendar, id }: Making,
  made: MadeOffers,
  offer: DemoOffer,
  files: MadeFiles,
  memberIds: MemberIds,
  random: Random,
): void {
  const { kind, title = '', currency, minMonths = null, at } = offer
  // An offer is written down with the last of its files, or some days after
  const firstAgo =
    offer.seen ?? Math.max(3, Math.min(...offer.files.map((file) => files.ago[file])) - random.whole(0, 6))
  const past = pastOf(offer, firstAgo, random)
  const last = past.at(-1)
  if (!last) throw new RangeError(`${at} has no price`)
  const createdAt = later(calendar.at(firstAgo, 21), 20 + random.whole(0, 60))
  const offerId = id(createdAt)
  const createdBy = memberIds[somebody(firstAgo, random)]
  made.rows.push({
    id: offerId,
    kind,
    title,
    priceMinor: last.price,
    priceCurrency: currency,
    minMonths,
    url: `https://${at}`,
    state: last.state,
    seenOn: calendar.day(last.ago),
    createdBy,
    createdAt,
    version: past.length,
  })
  made.files.push(...offer.files.map((file) => ({ offerId, fileId: files.ids[file] })))
  for (const [index, { price, state, ago }] of past.entries()) {
    const seenAt = index === 0 ? createdAt : calendar.at(ago, 20)
    made.prices.push({
      id: id(seenAt),
      offerId,
      priceMinor: price,
      priceCurrency: currency,
      state,
      seenOn: calendar.day(ago),
      createdBy: index === 0 ? createdBy : memberIds[somebody(ago, random)],
      createdAt: seenAt,
    })
  }
  const membership = Object.entries<WideOffer>(memberships).find(
    ([, one]) => kind === 'membership' && one.title === title,
  )
  if (membership) made.membershipIds[membership[0] as MembershipKey] = offerId
}

interface Past {
  price: number
  state: OfferState
  ago: number
}

/** Its prices, oldest first: the last one is what it costs now. */
function pastOf(offer: DemoOffer, firstAgo: number, random: Random): Past[] {
  const past = pastOnSale(offer, firstAgo, random)
  const last = past.at(-1)
  if (offer.state !== 'withdrawn' || !last) return past
  return [...past, { ...last, state: 'withdrawn', ago: endOf(offer, last.ago, random) }]
}

const endOf = ({ ended }: DemoOffer, lastSeen: number, random: Random) =>
  ended ?? random.whole(1, Math.max(1, Math.min(lastSeen - 3, 150)))

function pastOnSale({ kind, price, state, ended = 0 }: DemoOffer, firstAgo: number, random: Random): Past[] {
  const usual: Omit<Past, 'ago'> = { price, state: state === 'members only' ? state : 'on sale' }
  const chance = random.next()
  if (firstAgo < 60 || kind === 'free' || chance > 0.65) return [{ ...usual, ago: firstAgo }]
  if (chance < 0.3) {
    const cheaper = { ...usual, price: toFifty(price * (0.8 + 0.12 * random.next())), ago: firstAgo }
    return [cheaper, { ...usual, ago: random.whole(ended + 20, firstAgo - 20) }]
  }
  // Two weeks at a quarter less, then as before
  const ago = random.whole(ended + 25, firstAgo - 10)
  const sale = { ...usual, price: toFifty(price * 0.75), ago }
  return [{ ...usual, ago: firstAgo }, sale, { ...usual, ago: ago - 14 }]
}

export { running }
