import { listed, onBases } from '../parts/answer-words.ts'
import { ButtonLink } from '../parts/blocks.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { Money, type MoneyValue, Sum } from '../parts/money.tsx'
import type { FigureShadow } from '../parts/outline.ts'
import type { DrawnUnit } from '../parts/shadow.tsx'

/** The unit that is asked for, with what it is drawn by where nothing answers yet. */
interface AskedUnit extends DrawnUnit {
  id: string
  name: string
  setting: string
  shadow?: FigureShadow | null
}

export interface AskedFor {
  id: string
  asker: { id: string; name: string }
  unit: AskedUnit
  wanted: number
  mustHaves: string[]
  budget: MoneyValue | null
  /** What the boxes would cost; null where nobody has noted it. */
  boxes: { count: number; price: MoneyValue } | null
  neededBy: string | null
  remark: string
  state: 'open' | 'settled' | 'withdrawn'
  settledFile: { id: string; title: string } | null
  createdAt: string
  closedAt: string | null
}

/** What the page of a request is called. */
export const requestTitle = ({ wanted, unit }: { wanted: number; unit: { name: string } }) =>
  wanted === 1 ? unit.name : `${wanted} ${unit.name}`

interface LeadProps {
  request: AskedFor
  mayChange: boolean
  /** Something is known to stand in for the unit. */
  hasStandIns: boolean
}

/** What is asked for, in a sentence or two, and the asker's own words. */
export function RequestLead({ request, mayChange, hasStandIns }: LeadProps) {
  const { unit, mustHaves, neededBy, budget, asker, remark, wanted } = request
  const wishes = mustHaves.length > 0 ? `, with ${listed(mustHaves)}` : ''
  return (
    <>
      {unit.setting && `${unit.setting}, `}
      {unit.scaleMm} mm{unit.base && `, ${onBases(unit.base, wanted > 1)}`}
      {wishes}.{' '}
      {neededBy && request.state === 'open' && (
        <>
          Needed by <DateWords on={neededBy} as="both" />
          {'. '}
        </>
      )}
      {budget && (
        <>
          No more than <Money value={budget} />
          {'. '}
        </>
      )}
      Asked by <a href={`/members/${asker.id}`}>{asker.name}</a> <DateWords on={request.createdAt} as="distance" />.
      {hasStandIns && (
        <>
          {' '}
          <a href={`/units/${unit.id}`}>All stand-ins known for {unit.name}</a>.
        </>
      )}
      {mayChange && (
        <>
          {' '}
          <a href={`/requests/${request.id}/edit`}>Change or withdraw it</a>.
        </>
      )}
      {remark && (
        <>
          <br />
          <span class="said as-typed">“{remark}”</span>
        </>
      )}
    </>
  )
}

/** What the boxes would cost, and the way to answer. */
export function RequestSum({ request: { id, boxes, state } }: { request: AskedFor }) {
  return (
    <>
      {boxes && (
        <p>
          <small>{boxes.count === 1 ? 'the box' : `${boxes.count} boxes`}</small>
          <Sum value={boxes.price} />
        </p>
      )}
      {state === 'open' && (
        <ButtonLink main href={`/requests/${id}/propose`}>
          Propose a file
        </ButtonLink>
      )}
    </>
  )
}
