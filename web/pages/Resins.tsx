import { Paid } from '../parts/bottle.tsx'
import { ButtonLink } from '../parts/button.tsx'
import { Caution } from '../parts/caution.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { Pager } from '../parts/pager.tsx'

interface ResinRow {
  id: string
  name: string
  price: MoneyValue
  bottleG: number | null
  bottleMl: number | null
  gramsPerMl: number
  remark: string
  state: 'in use' | 'retired'
  isUsual: boolean
  /** In the group's currency; null where it keeps no rate. */
  pricePerKg: MoneyValue | null
}

interface Props {
  resins: ResinRow[]
  next: string | null
  currency: string
}

/** One's own bottles: what they cost and weigh counts for their owner, instead of the group's settings. */
export function Resins({ resins, next, currency }: Props) {
  return (
    <>
      <p>
        Your usual resin is what your answers, plans and spending are priced with; a plate may name another. Nobody else
        sees your bottles. Without a usual one the group’s settings count; <a href="/me#about">choose yours</a>.
      </p>
      {resins.length === 0 ? (
        <EmptyState words="You have no resin here yet: the group's price and density count for you.">
          <ButtonLink main href="/resins/new">
            Add a resin
          </ButtonLink>
        </EmptyState>
      ) : (
        <>
          <DataTable
            caption="Your resins"
            captionHidden
            rows={resins}
            rowKey={({ id }) => id}
            columns={columns(currency)}
          />
          <Pager href={next && `/resins?after=${encodeURIComponent(next)}`} />
          <p>
            <ButtonLink href="/resins/new">Add another resin</ButtonLink>
          </p>
        </>
      )}
      <Caution />
    </>
  )
}

const columns = (currency: string) => [
  {
    label: 'Resin',
    head: true,
    cell: ({ id, name, state, isUsual }: ResinRow) => (
      <>
        <a href={`/resins/${id}/edit`}>{name}</a>
        {isUsual && <small> your usual one</small>}
        {state === 'retired' && <small> retired</small>}
      </>
    ),
  },
  { label: 'Paid', figures: true, cell: (resin: ResinRow) => <Paid {...resin} /> },
  {
    label: 'A kilogram',
    figures: true,
    cell: ({ pricePerKg, price }: ResinRow) =>
      pricePerKg ? <Money value={pricePerKg} /> : `the group's price: no rate from ${price.currency} to ${currency}`,
  },
  { label: 'Density', figures: true, cell: ({ gramsPerMl }: ResinRow) => `${gramsPerMl} g a ml` },
  { label: 'Remark', wide: true, cell: ({ remark }: ResinRow) => remark },
]
