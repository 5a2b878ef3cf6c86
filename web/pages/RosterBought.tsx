import { DataTable } from '../parts/data-table.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { StrikeOut } from './RosterOther.tsx'

export interface Purchase {
  id: string
  offerId: string
  title: string
  paid: MoneyValue
  /** In the group's currency; null without a rate. */
  worth: MoneyValue | null
  boughtOn: string
  roster: { id: string; name: string } | null
}

interface Props {
  rosterId: string
  purchases: Purchase[]
  countedElsewhere: Purchase[]
  /** What they come to in the group's currency. */
  total: MoneyValue
}

/** What was bought for the roster. */
export function RosterBought({ rosterId, purchases, countedElsewhere, total }: Props) {
  return (
    <>
      {purchases.some(({ worth }) => worth === null) && (
        <p class="hurdle">
          Some of what was paid is not counted: the group keeps no rate for its currency any more. A steward can note
          one in the settings.
        </p>
      )}
      {purchases.length > 0 && (
        <DataTable
          caption="Bought"
          rows={purchases}
          rowKey={({ id }) => id}
          columns={[
            {
              label: 'Offer',
              head: true,
              total: 'Together',
              cell: ({ id, offerId, title }) => (
                <>
                  <a href={`/offers/${offerId}`}>{title}</a>{' '}
                  <StrikeOut at={`/rosters/${rosterId}/purchases/${id}`} id={id} what={title} />
                </>
              ),
            },
            { label: 'On', cell: ({ boughtOn }) => <DateWords on={boughtOn} /> },
            {
              label: 'Paid',
              figures: true,
              cell: ({ paid }) => <Money value={paid} />,
              total: <Money value={total} />,
            },
          ]}
        />
      )}
      {countedElsewhere.map(({ id, title, paid, roster }) => (
        <p key={id} class="quiet">
          “{title}” is used here and was bought with{' '}
          {roster ? <a href={`/rosters/${roster.id}`}>{roster.name}</a> : 'a roster that is gone'}: its{' '}
          <Money value={paid} /> count there.
        </p>
      ))}
    </>
  )
}
