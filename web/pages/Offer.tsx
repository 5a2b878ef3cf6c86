import { ButtonLink } from '../parts/button.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
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

/** An offer with its title, its price history, and what can be done about it. @param back where its buttons lead back to */
export function OfferEntry({ offer, back }: { offer: ShownOffer; back: string }) {
  return (
    <>
      {offer.title && (
        <h3>
          <a href={`/offers/${offer.id}`}>{offer.title}</a>
        </h3>
      )}
      <OfferLine offer={{ ...offer, files: offer.files.length }} />
      {offer.prices.length > 1 && (
        <Disclosure summary={`Price history: seen ${offer.prices.length} times`}>
          <PriceHistory prices={offer.prices} />
        </Disclosure>
      )}
      <div class="actions">
        {offer.kind === 'membership' && (
          <MembershipButton offerId={offer.id} title={offer.title || 'membership'} runs={offer.runs} back={back} />
        )}
        {!offer.title && offer.files.length > 1 && <a href={`/offers/${offer.id}`}>What it opens</a>}
        {offer.mayChange && (
          <a href={`/offers/${offer.id}/edit`}>
            Change<span class="visually-hidden"> the offer {offer.title}</span>
          </a>
        )}
      </div>
    </>
  )
}

function PriceHistory({ prices }: { prices: Seen[] }) {
  return (
    <DataTable
      caption="Price history"
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

/** One offer and all that it opens. */
export function Offer({ offer, linkHidden }: { offer: ShownOffer; linkHidden: boolean }) {
  return (
    <>
      <OfferEntry offer={{ ...offer, title: '' }} back={`/offers/${offer.id}`} />
      {linkHidden && <p class="quiet">Its link is for stewards alone.</p>}
      <Section heading={offer.files.length === 1 ? 'Opens one file' : `Opens ${offer.files.length} files`} id="files">
        <ul>
          {offer.files.map((file) => (
            <li key={file.id}>
              <a href={`/files/${file.id}`}>{file.title}</a>
            </li>
          ))}
        </ul>
      </Section>
      {offer.files[0] && <ButtonLink href={`/files/${offer.files[0].id}#offers`}>Other ways to get it</ButtonLink>}
    </>
  )
}
