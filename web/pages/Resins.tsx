import { ButtonLink, Caution, Columns, EmptyState, Pager } from '../parts/blocks.tsx'
import { type MoneyValue, Paid, Sum } from '../parts/money.tsx'

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
  /** What a model comes to, in the group's currency; null where it keeps no rate. */
  costs: { model: MoneyValue; modelMl: number } | null
}

interface Props {
  resins: ResinRow[]
  next: string | null
  currency: string
}

/** One's own bottles: what they cost and weigh counts for their owner, instead of the group's settings. */
export function Resins({ resins, next, currency }: Props) {
  return (
    <Columns
      main={
        <>
          <p>
            Your usual resin is what your answers, plans and spending are priced with; a plate may name another. Nobody
            else sees your bottles. Without a usual one the group’s settings count; <a href="/me#about">choose yours</a>
            .
          </p>
          {resins.length === 0 ? (
            <EmptyState words="You have no resin here yet: the group's price and density count for you.">
              <ButtonLink main href="/resins/new">
                Add a resin
              </ButtonLink>
            </EmptyState>
          ) : (
            <>
              <ul class="endings">
                {resins.map((resin) => (
                  <ResinLine key={resin.id} resin={resin} currency={currency} />
                ))}
              </ul>
              <Pager href={next && `/resins?after=${encodeURIComponent(next)}`} />
              <p>
                <ButtonLink href="/resins/new">Add another resin</ButtonLink>
              </p>
            </>
          )}
        </>
      }
      aside={<Caution />}
    />
  )
}

function ResinLine({ resin, currency }: { resin: ResinRow; currency: string }) {
  const { id, name, state, isUsual, costs, price, gramsPerMl, remark } = resin
  return (
    <li>
      <p>
        <a href={`/resins/${id}/edit`}>{name}</a>
        {isUsual && ', your usual one'}
        {state === 'retired' && ', retired'}
        <small>
          <Paid {...resin} />, {gramsPerMl} g per ml
          {!costs && `; the group’s price counts, as it keeps no rate from ${price.currency} to ${currency}`}
          {remark && (
            <>
              ; <span class="said">{remark}</span>
            </>
          )}
        </small>
      </p>
      {costs && (
        <span class="resin-cost">
          <Sum value={costs.model} />
          <small>a model of {costs.modelMl} ml</small>
        </span>
      )}
    </li>
  )
}
