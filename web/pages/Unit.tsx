import { type Base, BaseSize } from '../parts/base-size.tsx'
import { Button, ButtonLink } from '../parts/button.tsx'
import { CostBar, CostLegend } from '../parts/cost-bar.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import type { Values } from '../parts/form.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { Pager } from '../parts/pager.tsx'
import { Facts, Section } from '../parts/section.tsx'
import { voteWords } from '../parts/votes.tsx'
import { Fit, Price, type StandIn, StandInSuccess } from './StandInCells.tsx'
import { StandInsBeside } from './StandInsBeside.tsx'
import { UnitFilter } from './UnitFilter.tsx'

interface Props {
  unit: {
    id: string
    name: string
    aliases: string[]
    setting: string
    scaleMm: number
    base: Base | null
    modelsPerUnit: number
    retailPrice: MoneyValue | null
  }
  mayChange: boolean
  /** Models that the figures are for. */
  wanted: number
  /** What is filtered by and in which order, by the names of the form's fields. */
  values: Values
  standIns: StandIn[]
  /** How many pass the filter, and how many of these the pages before this one have shown. */
  found: number
  from: number
  /** Address of the next page; null on the last. */
  next: string | null
  /** How many there are without the filter. */
  known: number
  /** Options that occur among the stand-ins, to filter by. */
  options: string[]
  /** Up to four, side by side. */
  compared: StandIn[]
  requests: { id: string; wanted: number; asker: { name: string } }[]
}

/** Every known stand-in for a unit: filter, sort, compare. */
export function Unit(props: Props) {
  const { unit, standIns, known, compared } = props
  const ask = `/requests/new?unitId=${unit.id}`
  return (
    <>
      <Facts
        facts={[
          ['Also called', unit.aliases.join(', ')],
          ['Setting', unit.setting],
          ['Scale', `${unit.scaleMm} mm`],
          ['Base', unit.base && <BaseSize base={unit.base} />],
          ['Models in one unit', unit.modelsPerUnit],
          ['Price of its box', unit.retailPrice && <Money value={unit.retailPrice} />],
        ]}
      />
      <div class="actions">
        <ButtonLink main href={ask}>
          Ask the group for a stand-in
        </ButtonLink>
        <ButtonLink href={`/files/new?unitId=${unit.id}`}>Add a file that stands in</ButtonLink>
        {props.mayChange && <a href={`/units/${unit.id}/edit`}>Change the unit</a>}
      </div>
      {props.requests.length > 0 && <OpenRequests requests={props.requests} />}
      {compared.length > 1 && <StandInsBeside {...props} />}
      <Section heading={known === 1 ? 'One known stand-in' : `${known} known stand-ins`} id="stand-ins">
        {known === 0 ? (
          <EmptyState words="Nobody has found a stand-in yet.">
            <p>
              <a href={ask}>Ask the group</a>, or <a href={`/files/new?unitId=${unit.id}`}>add a file</a> that you know.
            </p>
          </EmptyState>
        ) : (
          <>
            <UnitFilter {...props} />
            {standIns.length === 0 ? (
              <EmptyState words="None of them passes this filter.">
                <a href={`/units/${unit.id}`}>Show them all</a>
              </EmptyState>
            ) : (
              <StandIns {...props} />
            )}
          </>
        )}
      </Section>
    </>
  )
}

function OpenRequests({ requests }: Pick<Props, 'requests'>) {
  return (
    <p>
      Asked for now:{' '}
      {requests.map(({ id, wanted, asker }, index) => (
        <>
          {index > 0 && ', '}
          <a href={`/requests/${id}`}>
            {wanted} by {asker.name}
          </a>
        </>
      ))}
    </p>
  )
}

function StandIns({ unit, standIns, found, from, next, values, compared, wanted }: Props) {
  const shownWords = standIns.length < found ? `: ${from + 1} to ${from + standIns.length} of ${found}` : ''
  const max = String(Math.max(...standIns.map((one) => Number(one.score?.amount ?? 0))))
  const chosen = new Set(compared.map((one) => one.id))
  const kept = Object.entries(values).filter(([name]) => name !== 'compare')
  // What is compared already stays so, whichever page it stands on.
  const elsewhere = compared.filter(({ id }) => !standIns.some((one) => one.id === id))
  return (
    <div id="found" class="section">
      <p class="quiet">
        For {wanted === 1 ? 'one model' : `${wanted} models`}, by what they cost and their looks{shownWords}.
      </p>
      <CostLegend />
      <form action={`/units/${unit.id}`} method="get" class="stack">
        {kept.flatMap(([name, value]) =>
          [value].flat().map((one) => <input key={`${name}${one}`} type="hidden" name={name} value={one} />),
        )}
        <DataTable
          caption={`Stand-ins for ${unit.name}`}
          captionHidden
          rows={standIns}
          rowKey={(row) => row.id}
          columns={[
            { label: 'File', head: true, cell: fileCell },
            {
              label: 'To the table',
              wide: true,
              cell: (row) => (
                <>
                  <strong>
                    <Price value={row.costToTable} />
                  </strong>
                  <small>
                    , and <Money value={{ amount: row.breakdown.looks, currency: row.currency }} /> for looks
                  </small>
                  <CostBar breakdown={row.breakdown} currency={row.currency} max={max} legend="none" />
                </>
              ),
            },
            { label: 'Does it print?', wide: true, cell: (row) => <StandInSuccess {...row} /> },
            { label: 'Would they field it?', cell: (row) => voteWords(row.votes) },
            { label: 'Fit', cell: (row) => <Fit row={row} unit={unit} /> },
            {
              label: 'Compare',
              cell: (row) => (
                <label class="choice">
                  <input type="checkbox" name="compare" value={row.id} checked={chosen.has(row.id)} />
                  <span class="visually-hidden">Compare {row.title}</span>
                </label>
              ),
            },
          ]}
        />
        {elsewhere.map(({ id }) => (
          <input key={id} type="hidden" name="compare" value={id} />
        ))}
        {standIns.length > 1 && (
          <div class="actions">
            <Button>Compare those ticked, up to four</Button>
          </div>
        )}
      </form>
      <Pager href={next} />
    </div>
  )
}

const fileCell = (row: StandIn) => (
  <>
    <a href={`/files/${row.id}`}>{row.title}</a>
    <small>{row.sculptor === null ? ' The sculptor asked not to be named' : ` by ${row.sculptor}`}</small>
    {row.whyNot && <p class="hurdle">{row.whyNot}</p>}
    {row.blocked && <p class="hurdle">An open snag stops the print.</p>}
  </>
)
