import { Actions } from '../parts/button.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { OfferLine } from '../parts/offer-line.tsx'
import { Section } from '../parts/section.tsx'
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

/** Ways to get a file, on what terms, and what they cost before. @param back where the buttons lead back to */
export function OfferTable({ offers, back }: { offers: ShownOffer[]; back: string }) {
  return (
    <DataTable
      caption="Offers"
      captionHidden
      rows={offers}
      rowKey={(offer) => offer.id}
      columns={[
        { label: 'Offer', head: true, cell: (offer) => <a href={`/offers/${offer.id}`}>{offerName(offer)}</a> },
        { label: 'Terms', cell: (offer) => <OfferLine offer={{ ...offer, files: offer.files.length }} /> },
        { label: 'Earlier prices', cell: (offer) => <Earlier offer={offer} /> },
        { label: 'To do', cell: (offer) => <OfferActions offer={offer} back={back} /> },
      ]}
    />
  )
}

const kindNames = { purchase: 'Purchase', bundle: 'Bundle', membership: 'Membership', free: 'Free' }

export const offerName = ({ title, kind }: Pick<ShownOffer, 'title' | 'kind'>) => title || kindNames[kind]

const earlierShown = 4

/** What it cost before, the latest first. */
function Earlier({ offer: { id, prices } }: { offer: ShownOffer }) {
  const earlier = prices.slice(0, -1).toReversed()
  if (earlier.length === 0) return <>none seen</>
  return (
    <>
      {earlier.slice(0, earlierShown).map(({ price, state, seenOn }, index) => (
        <p key={index}>
          <Money value={price} />{' '}
          <small>
            on <DateWords on={seenOn} />
            {state !== 'on sale' && `, ${state}`}
          </small>
        </p>
      ))}
      {earlier.length > earlierShown && <a href={`/offers/${id}#prices`}>All {prices.length} prices</a>}
    </>
  )
}

function OfferActions({ offer, back }: { offer: ShownOffer; back: string }) {
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

function PriceHistory({ prices }: { prices: Seen[] }) {
  return (
    <DataTable
      caption="Every price and state that was seen"
      captionHidden
      rows={prices.toReversed().map((seen, index) => ({ ...seen, key: String(index) }))}
      rowKey={(row) => row.key}
      columns={[
        { label: 'Seen on', head: true, cell: (row) => <DateWords on={row.seenOn} /> },
        { label: 'Price', figures: true, cell: (row) => <Money value={row.price} /> },
        { label: 'State', cell: (row) => row.state },
      ]}
    />
  )
}

/** One offer: its terms, every price it had, and all that it opens. */
export function Offer({ offer, linkHidden }: { offer: ShownOffer; linkHidden: boolean }) {
  const { files } = offer
  return (
    <>
      <OfferLine offer={{ ...offer, files: files.length }} />
      {linkHidden && <p class="quiet">Its link is for stewards alone.</p>}
      <OfferActions offer={offer} back={`/offers/${offer.id}`} />
      <Section heading={files.length === 1 ? 'Opens one file' : `Opens ${files.length} files`} id="files">
        <ul>
          {files.map((file) => (
            <li key={file.id}>
              <a href={`/files/${file.id}`}>{file.title}</a>
            </li>
          ))}
        </ul>
      </Section>
      <Section heading="Price history" id="prices">
        <PriceHistory prices={offer.prices} />
      </Section>
    </>
  )
}
