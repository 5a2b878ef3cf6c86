import { Actions, Columns, Listed, Section } from '../parts/blocks.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { Money, type MoneyValue, Sum } from '../parts/money.tsx'
import { kindWords, OfferTerms } from '../parts/offer-terms.tsx'
import { type FileRow, FileRows } from './Files.tsx'
import { MembershipButton } from './MyFiles.tsx'

type State = 'on sale' | 'members only' | 'withdrawn'

interface Seen {
  price: MoneyValue
  state: State
  seenOn: string
}

export interface ShownOffer extends Seen {
  id: string
  kind: 'purchase' | 'bundle' | 'membership' | 'free'
  title: string
  minMonths: number | null
  /** Left out after it was withdrawn, and where a sculptor asked not to be linked. */
  url: string | null
  files: { id: string; title: string }[]
  /** Oldest first. */
  prices: Seen[]
  /** Of a membership: whether the reader pays for it. */
  runs: boolean
  mayChange: boolean
}

const offerName = ({ title, kind, files }: ShownOffer) => title || kindWords({ kind, files: files.length })

/** Ways to get a file, close-set: what it is called, its terms, and what it cost before; at the far side its price. @param back where the buttons lead back to */
export function OfferRows({ offers, back }: { offers: ShownOffer[]; back: string }) {
  return (
    <ul class="offer-rows">
      {offers.map((offer) => (
        <li key={offer.id}>
          <div>
            <a class="offer-name" href={`/offers/${offer.id}`}>
              {offerName(offer)}
            </a>
            <OfferTerms offer={{ ...offer, files: offer.files.length, isNamed: offer.title !== '' }} />
            <Earlier offer={offer} />
            <OfferActions offer={offer} back={back} />
          </div>
          <OfferPrice offer={offer} />
        </li>
      ))}
    </ul>
  )
}

/** Offers by name and price alone. */
export function OfferList({ offers }: { offers: ShownOffer[] }) {
  return (
    <ul class="offer-rows">
      {offers.map((offer) => (
        <li key={offer.id}>
          <a class="offer-name" href={`/offers/${offer.id}`}>
            {offerName(offer)}
          </a>
          <OfferPrice offer={offer} />
        </li>
      ))}
    </ul>
  )
}

/** What an offer costs, large at the head of a page. */
export function OfferPrice({ offer: { kind, price, state } }: { offer: ShownOffer }) {
  if (kind === 'free') return null
  return (
    <p class={state === 'withdrawn' ? 'offer-price offer-gone' : 'offer-price'}>
      <Sum value={price} />
      {kind === 'membership' && <small> a month</small>}
    </p>
  )
}

const earlierShown = 3

/** "Before: €14.50 on 10 June 2026, €19.00 on 2 February 2026", the latest first. */
function Earlier({ offer: { id, prices } }: { offer: ShownOffer }) {
  const earlier = prices.slice(0, -1).toReversed()
  if (earlier.length === 0) return null
  return (
    <p class="quiet">
      Before:{' '}
      <Listed
        pieces={earlier.slice(0, earlierShown).map(({ price, state, seenOn }) => (
          <>
            <Money value={price} /> on <DateWords on={seenOn} />
            {state !== 'on sale' && ` (${state})`}
          </>
        ))}
      />
      {earlier.length > earlierShown && (
        <>
          , <a href={`/offers/${id}#prices`}>all {prices.length} prices</a>
        </>
      )}
    </p>
  )
}

function OfferActions({ offer, back }: { offer: ShownOffer; back: string }) {
  if (offer.kind !== 'membership' && !offer.mayChange) return null
  return (
    <Actions>
      {offer.kind === 'membership' && (
        <MembershipButton offerId={offer.id} title={offerName(offer)} runs={offer.runs} back={back} />
      )}
      {offer.mayChange && (
        <a href={`/offers/${offer.id}/edit`}>
          Change<span class="visually-hidden"> the offer: {offerName(offer)}</span>
        </a>
      )}
    </Actions>
  )
}

interface Props {
  offer: ShownOffer
  linkHidden: boolean
  /** What it opens, as far as the page shows it. */
  files: FileRow[]
  /** The one scale that their figures are drawn to. */
  pxPerMm: number
}

/** One offer: its terms, every price it had, and all that it opens. */
export function Offer({ offer, linkHidden, files, pxPerMm }: Props) {
  return (
    <>
      <div class="told-close">
        <OfferTerms offer={{ ...offer, files: offer.files.length }} />
        {linkHidden && <p class="quiet">Its link is for stewards alone.</p>}
        <OfferActions offer={offer} back={`/offers/${offer.id}`} />
      </div>
      <Columns
        main={
          <Section heading={files.length === 1 ? 'Opens one file' : `Opens ${files.length} files`} id="files">
            <FileRows files={files} pxPerMm={pxPerMm} />
          </Section>
        }
        aside={
          <Section heading="Price history" id="prices">
            <PriceHistory offer={offer} />
          </Section>
        }
      />
    </>
  )
}

/** Every price and state that was seen, the latest first. */
export function PriceHistory({ offer }: { offer: ShownOffer }) {
  return (
    <ul class="offer-rows">
      {offer.prices.toReversed().map((seen, index) => (
        <li key={index}>
          <p>
            <DateWords on={seen.seenOn} as="both" />
            {seen.state !== 'on sale' && <span class="quiet">, {seen.state}</span>}
          </p>
          <OfferPrice offer={{ ...offer, ...seen }} />
        </li>
      ))}
    </ul>
  )
}
