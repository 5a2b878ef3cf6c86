import { LinkList } from '../parts/blocks.tsx'
import { FoldedForm, type FormState } from '../parts/button-form.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { DateField, MoneyField } from '../parts/field.tsx'
import { isRefused } from '../parts/form.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { safeLink } from '../parts/offer-terms.tsx'

export interface PlannedOffer {
  offerId: string | null
  kind: 'purchase' | 'bundle' | 'membership' | 'free' | 'owned'
  title: string
  price: MoneyValue
  ownPrice: MoneyValue | null
  months: number | null
  url: string | null
  linkWithheld: boolean
  opens: string[]
  files: { id: string; title: string }[]
  bought: boolean
}

interface Props {
  plan: { offers: PlannedOffer[]; withoutRate: { currency: string }[]; totals: { offers: MoneyValue } }
  /** What each entry is called. */
  names: Record<string, string>
  tick: Tick
}

/** What the forms that tick an offer off need. */
export interface Tick {
  rosterId: string
  currencies: [string, ...string[]]
  /** The form that was just refused, with its offer among what was typed. */
  buying: FormState
  once: Record<string, string>
}

const kindWords = {
  purchase: 'purchase',
  bundle: 'bundle',
  membership: 'membership',
  free: 'free',
  owned: 'you have it',
}

/** What is to be got: each offer once, with what it opens. */
export function RosterShopping({ plan: { offers, withoutRate, totals }, names, tick }: Props) {
  const toBuy = offers.filter(isToBuy)
  const isAtRow = toBuy.some(({ offerId }) => offerId === tick.buying.values.offerId)
  return (
    <div id="shopping">
      <h3>Shopping list</h3>
      {!isAtRow &&
        Object.values(tick.buying.errors).map((words) => (
          <p key={words} class="hurdle" role="alert">
            {words}
          </p>
        ))}
      {offers.length === 0 ? (
        <p>There is nothing to buy.</p>
      ) : (
        <DataTable
          caption="Shopping list"
          captionHidden
          close
          rows={offers.toSorted((one, other) => orderOf(one) - orderOf(other))}
          rowKey={({ offerId }) => offerId ?? 'archive'}
          columns={[
            {
              label: 'Offer',
              head: true,
              total: 'To be bought',
              cell: (offer) => (
                <>
                  <OfferCell offer={offer} />
                  {isToBuy(offer) && <TickOff offer={offer} tick={tick} />}
                </>
              ),
            },
            {
              label: 'Opens',
              wide: true,
              cell: ({ files, opens }) => (
                <Opens files={files} entries={[...new Set(opens.map((id) => names[id] ?? ''))]} />
              ),
            },
            {
              label: 'Price',
              figures: true,
              sum: true,
              total: <Money value={totals.offers} />,
              cell: (offer) => <Price offer={offer} />,
            },
          ]}
        />
      )}
      {withoutRate.length > 0 && (
        <p class="hurdle">
          {withoutRate.length === 1 ? 'One offer was' : `${withoutRate.length} offers were`} left out, since the group
          has no exchange rate for {[...new Set(withoutRate.map(({ currency }) => currency))].join(', ')}.
        </p>
      )}
    </div>
  )
}

const isToBuy = ({ offerId, bought, kind }: PlannedOffer) => offerId !== null && !bought && kind !== 'owned'

/** Notes what was paid, in the list itself: as offered, today, unless something else is said. */
function TickOff({ offer: { offerId, title }, tick }: { offer: PlannedOffer; tick: Tick }) {
  const { rosterId, currencies, buying, once } = tick
  const isThis = buying.values.offerId === offerId && isRefused(buying)
  return (
    <div class="screen-only">
      <FoldedForm
        summary="Tick off"
        form={isThis ? buying : { values: {}, errors: {} }}
        id={`buy-${offerId}`}
        action={`/rosters/${rosterId}/purchases`}
        hidden={{ once: `${once.once}-${offerId}`, offerId: offerId ?? '' }}
        button="I bought it"
        buttonLabel={`I bought it: ${title}`}
      >
        <MoneyField
          optional
          name="paid"
          label="Paid"
          hint="Its price as offered if left empty."
          currencies={currencies}
        />
        <DateField optional name="boughtOn" label="On" hint="Today if left empty." />
        <p class="hint">Its files go into your archive; a membership is noted as running.</p>
      </FoldedForm>
    </div>
  )
}

/** What is still to be paid for comes first, what is there already last. */
function orderOf({ kind, price, bought }: PlannedOffer): number {
  if (kind === 'owned') return 3
  if (bought) return 2
  return Number(price.amount) > 0 ? 0 : 1
}

function OfferCell({ offer }: { offer: PlannedOffer }) {
  const link = safeLink(offer.url)
  const title = offer.offerId ? <a href={`/offers/${offer.offerId}`}>{offer.title}</a> : offer.title
  return (
    <>
      {title}{' '}
      <small>
        {offer.bought ? 'bought' : kindWords[offer.kind]}
        {offer.months !== null && offer.months > 1 && `, ${offer.months} months`}
      </small>
      {link && (
        <p>
          <a class="offer-link" href={link} rel="noopener noreferrer nofollow external">
            Go to the offer
          </a>
        </p>
      )}
      {offer.linkWithheld && <p class="quiet">Its sculptor asked not to be linked: a steward can tell you where.</p>}
    </>
  )
}

function Opens({ files, entries }: { files: PlannedOffer['files']; entries: string[] }) {
  return (
    <>
      <LinkList to="files" things={files.map(({ id, title }) => ({ id, name: title }))} />
      <small> for {entries.join(', ')}</small>
    </>
  )
}

/** Nothing where nothing is paid; as it is offered, where that is something else: each of several months, another currency. */
function Price({ offer: { price, ownPrice, kind, months } }: { offer: PlannedOffer }) {
  if (Number(price.amount) === 0) return <>{''}</>
  const isMonthly = kind === 'membership' && months !== 1
  return (
    <>
      <Money value={price} />
      {ownPrice && (isMonthly || ownPrice.currency !== price.currency) && (
        <small>
          {' '}
          <Money value={ownPrice} />
          {isMonthly && ' a month'}
        </small>
      )}
    </>
  )
}
