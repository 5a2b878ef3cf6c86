import { DateWords } from './date-words.tsx'
import { Money, type MoneyValue } from './money.tsx'

export interface Offer {
  kind: 'purchase' | 'bundle' | 'membership' | 'free'
  /** Of a membership, a month. */
  price: MoneyValue | null
  minMonths?: number | null
  /** Left out where the reader may not see it, or after it was withdrawn. */
  url?: string | null
  state: 'on sale' | 'members only' | 'withdrawn'
  /** `YYYY-MM-DD` */
  seenOn: string
  /** How many files it opens, itself included. */
  files?: number | null
}

/** One way to get a file, on one line: what, how much, on what terms, when it was last seen, where. */
export function OfferLine({ offer }: { offer: Offer }) {
  const link = offer.state === 'withdrawn' ? null : safeLink(offer.url)
  return (
    <p class="offer">
      <strong>{kindWords(offer)}</strong>
      {offer.kind !== 'free' && offer.price && (
        <>
          {', '}
          <Money value={offer.price} />
          {offer.kind === 'membership' && monthWords(offer.minMonths)}
        </>
      )}
      {offer.state === 'members only' && ', for members of the sculptor only'}
      {offer.state === 'withdrawn' && ', withdrawn: it can no longer be had'}
      <span class="quiet">
        {' '}
        (seen on <DateWords on={offer.seenOn} />)
      </span>
      {link && (
        <>
          {' '}
          <a class="offer-link" href={link} rel="noopener noreferrer nofollow external">
            Go to the offer
          </a>
        </>
      )}
    </p>
  )
}

function kindWords({ kind, files }: Offer): string {
  const many = files && files > 1 ? ` of ${files} files` : ''
  if (kind === 'free') return 'Free'
  if (kind === 'bundle') return `Bundle${many}`
  if (kind === 'membership') return many ? `Membership that opens ${files} files` : 'Membership'
  return 'Purchase'
}

function monthWords(minMonths: number | null | undefined): string {
  if (!minMonths || minMonths === 1) return ' a month'
  return ` a month, for at least ${minMonths} months`
}

/** Only web addresses become links; whatever else was stored (`javascript:` …) is not even shown. */
export function safeLink(url: string | null | undefined): string | null {
  if (!url || !URL.canParse(url)) return null
  const { protocol, href } = new URL(url)
  return protocol === 'https:' || protocol === 'http:' ? href : null
}
