import { Addable, Columns, Section } from '../parts/blocks.tsx'
import { CostBar, costTerms, saysAnything } from '../parts/cost-bar.tsx'
import { Money, SumTable } from '../parts/money.tsx'
import { forWords, type TableSum } from './FileHead.tsx'
import { OfferRows, type ShownOffer } from './Offer.tsx'

interface Props {
  file: { id: string; sculptor: { credit: 'named' | 'unnamed' }; inArchive: boolean }
  offers: ShownOffer[]
  sum: TableSum | null
}

/** How to get a file, and beside it what it comes to on the table. */
export function FileOffers({ file, offers, sum }: Props) {
  const gone = offers.length > 0 && offers.every((offer) => offer.state === 'withdrawn')
  const list = (
    <>
      {file.sculptor.credit === 'unnamed' && <p class="quiet">The sculptor asked not to be named or linked.</p>}
      {file.inArchive && <p>It is in your archive: its price counts as 0 for you.</p>}
      {gone && !file.inArchive && <p class="hurdle">It is no longer available: every offer has been withdrawn.</p>}
      <Addable
        isEmpty={offers.length === 0}
        none="Nobody has noted yet where to get it."
        add={[`/files/${file.id}/offers/new`, 'Add an offer']}
      >
        <OfferRows offers={offers} back={`/files/${file.id}`} />
      </Addable>
    </>
  )
  return (
    <Section heading="How to get it" id="offers">
      {sum ? <Columns main={list} aside={<Account sum={sum} />} /> : list}
    </Section>
  )
}

const wayWords = {
  purchase: 'price, bought singly',
  bundle: 'price of the whole bundle',
  membership: 'price of the months it takes',
  free: 'price',
}

/** The sum behind the page's number, as in an account book. */
function Account({ sum }: { sum: TableSum }) {
  const { breakdown, way, whole, whyNot, badLuck } = sum
  const { currency } = whole
  const terms = costTerms.filter(({ key }) => key !== 'looks' && key !== 'price' && saysAnything(breakdown[key]))
  const price = saysAnything(breakdown.price) && {
    words: way === null ? 'price' : wayWords[way],
    value: breakdown.price === null ? null : { amount: breakdown.price, currency },
  }
  return (
    <div class="file-account">
      <SumTable
        caption={`What ${forWords(sum)} ${sum.wanted === 1 ? 'costs' : 'cost'}`}
        terms={[
          ...(price ? [price] : []),
          ...terms.map(({ key, words }) => ({ words, value: { amount: breakdown[key] ?? '0', currency } })),
        ]}
        total={{ words: whyNot === null ? 'to the table' : 'printing alone', value: whole }}
      />
      <CostBar breakdown={breakdown} currency={currency} />
      {whyNot === null ? (
        <p class="quiet">
          9 in 10 do no worse than <Money value={badLuck} />, on a printer in good order.
        </p>
      ) : (
        <p class="hurdle">{whyNot}</p>
      )}
    </div>
  )
}
