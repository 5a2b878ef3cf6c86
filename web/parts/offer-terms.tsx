import { DateWords } from './date-words.tsx'

export interface Offer {
  kind: 'purchase' | 'bundle' | 'membership' | 'free'
  minMonths?: number | null
  /** Left out where the reader may not see it, or after it was withdrawn. */
  url?: string | null
  state: 'on sale' | 'members only' | 'withdrawn'
  /** `YYYY-MM-DD` */
  seenOn: string
  /** False where what it is stands above, since it has no name. */
  isNamed?: boolean
  /** How many files it opens, itself included. */
  files?: number | null
}

/** One way to get a file, on one line beside its price: what, on what terms, when it was last seen, where. */
export function OfferTerms({ offer }: { offer: Offer }) {
  const link = offer.state === 'withdrawn' ? null : safeLink(offer.url)
  const terms = [
    offer.isNamed === false ? '' : kindWords(offer),
    offer.kind === 'membership' && monthWords(offer.minMonths),
    offer.state === 'members only' && 'for the sculptor’s members only',
    offer.state === 'withdrawn' && 'withdrawn: it is no longer available',
  ].filter(Boolean)
  return (
    <p class="offer">
      {terms.join(', ')}
      <span class="quiet">
        {terms.length > 0 ? '; seen on ' : 'Seen on '}
        <DateWords on={offer.seenOn} />
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

/** "Bundle of 3 files". */
export function kindWords({ kind, files }: Pick<Offer, 'kind' | 'files'>): string {
  const many = files && files > 1 ? ` of ${files} files` : ''
  if (kind === 'free') return 'Free'
  if (kind === 'bundle') return `Bundle${many}`
  if (kind === 'membership') return many ? `Membership that opens ${files} files` : 'Membership'
  return 'Purchase'
}

function monthWords(minMonths: number | null | undefined): string {
  return !minMonths || minMonths === 1 ? '' : `for at least ${minMonths} months`
}

/** Only web addresses become links; whatever else was stored (`javascript:` …) is not even shown. */
export function safeLink(url: string | null | undefined): string | null {
  if (!url || !URL.canParse(url)) return null
  const { protocol, href } = new URL(url)
  return protocol === 'https:' || protocol === 'http:' ? href : null
}
