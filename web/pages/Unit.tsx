import type { ComponentChildren } from 'preact'
import { type Base, BaseSize } from '../parts/base-size.tsx'
import { Button, ButtonLink } from '../parts/button.tsx'
import { Checkbox, CheckboxGroup, SelectField } from '../parts/choice-field.tsx'
import { type Breakdown, CostBar, CostLegend } from '../parts/cost-bar.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import { NumberField } from '../parts/field.tsx'
import { Form, type Values } from '../parts/form.tsx'
import { Money, type MoneyValue, notToBeHad } from '../parts/money.tsx'
import { Pager } from '../parts/pager.tsx'
import { Facts, Section } from '../parts/section.tsx'
import { type Basis, type Interval, type PrintSuccess, SuccessInterval } from '../parts/success-interval.tsx'
import { voteWords } from '../parts/votes.tsx'

/** A file as a stand-in for the unit of the page. */
export interface StandIn {
  id: string
  title: string
  sculptor: string | null
  currency: string
  /** What can't be had has no price; these three are null then. */
  score: MoneyValue | null
  costToTable: MoneyValue | null
  badLuckCost: MoneyValue | null
  breakdown: Breakdown
  comesOut: Interval
  on?: string
  printSuccess: PrintSuccess & { basis: Basis }
  supportKind: string
  votes: { yes: number; no: number }
  obtainable: boolean
  whyNot: string | null
  blocked: boolean
  scaleMm: number | null
  base: Base | null
  heightMm: number | null
  options: string[]
  snags: string[]
}

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
      {compared.length > 1 && <SideBySide {...props} />}
      <Section heading={known === 1 ? 'One known stand-in' : `${known} known stand-ins`} id="stand-ins">
        {known === 0 ? (
          <EmptyState words="Nobody has found a stand-in yet.">
            <p>
              <a href={ask}>Ask the group</a>, or <a href={`/files/new?unitId=${unit.id}`}>add a file</a> that you know.
            </p>
          </EmptyState>
        ) : (
          <>
            <Filter {...props} />
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

const orders = [
  { value: 'score', label: 'cost and looks' },
  { value: 'cost', label: 'cost to table' },
  { value: 'price', label: 'price of the file' },
  { value: 'success', label: 'print success' },
]

const kinds = ['as supplied', 'extra supports', 'own supports'].map((kind) => ({ value: kind, label: kind }))

function Filter({ unit, values, options }: Props) {
  const isSet = Object.entries(values).some(
    ([name, value]) => !['sort', 'wanted', 'compare'].includes(name) && value.length > 0,
  )
  return (
    <Form
      action={`/units/${unit.id}`}
      method="get"
      class="form filter"
      label="Filter and sort"
      values={values}
      swaps="found"
    >
      <div class="actions">
        <NumberField whole name="wanted" label="For how many models" />
        <SelectField name="sort" label="In order of" options={orders} />
      </div>
      <Disclosure summary="Filter" open={isSet}>
        <SelectField optional empty="any" name="support" label="Supports that print best" options={kinds} />
        <NumberField optional name="maxPrice" label="File at most at" hint="In the group's currency." />
        <NumberField optional whole name="minSuccess" label="At least so many of 100 come out good" />
        {options.length > 0 && (
          <CheckboxGroup
            optional
            name="option"
            label="Comes with"
            options={options.map((one) => ({ value: one, label: one }))}
          />
        )}
        <Checkbox name="fitsScale" label={`Made for ${unit.scaleMm} mm`} />
        {unit.base && <Checkbox name="fitsBase" label="Fits the base" />}
        <Checkbox name="obtainable" label="Can be had" />
        <Checkbox name="unblocked" label="No snag blocks it" />
        <Checkbox name="own" label="Count what I already have, on my printer" />
      </Disclosure>
      <div class="actions">
        <Button>Show</Button>
        {isSet && <a href={`/units/${unit.id}`}>Show all</a>}
      </div>
    </Form>
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

const Price = ({ value }: { value: MoneyValue | null }) => (value ? <Money value={value} /> : notToBeHad)

const fileCell = (row: StandIn) => (
  <>
    <a href={`/files/${row.id}`}>{row.title}</a>
    <small>{row.sculptor === null ? ' The sculptor asked not to be named' : ` by ${row.sculptor}`}</small>
    {row.whyNot && <p class="hurdle">{row.whyNot}</p>}
    {row.blocked && <p class="hurdle">An open snag stops the print.</p>}
  </>
)

function Fit({ row, unit }: { row: StandIn; unit: Props['unit'] }) {
  return (
    <>
      {row.scaleMm === null ? 'scale not known' : `${row.scaleMm} mm`}
      {row.scaleMm !== null && row.scaleMm !== unit.scaleMm && (
        <span class="quiet"> (the unit is {unit.scaleMm} mm)</span>
      )}
      {row.base && (
        <>
          {', '}
          <BaseSize base={row.base} wanted={unit.base} />
        </>
      )}
    </>
  )
}

/** Two to four files side by side, a fact a row. */
function SideBySide({ compared, unit }: Props) {
  const rows: [string, (one: StandIn) => ComponentChildren][] = [
    ['Cost to table', (one) => <Price value={one.costToTable} />],
    ['Looks', (one) => <Money value={{ amount: one.breakdown.looks, currency: one.currency }} />],
    ['Ranked by both', (one) => <Price value={one.score} />],
    ['With bad luck', (one) => <Price value={one.badLuckCost} />],
    [
      'The file',
      ({ breakdown, currency, whyNot }) =>
        breakdown.price === null ? whyNot : <Money value={{ amount: breakdown.price, currency }} />,
    ],
    ['Does it print?', (one) => <StandInSuccess {...one} />],
    ['Supports', (one) => one.supportKind],
    ['Votes', (one) => voteWords(one.votes)],
    ['Scale and base', (one) => <Fit row={one} unit={unit} />],
    ['Height', (one) => (one.heightMm === null ? 'not known' : `${one.heightMm} mm`)],
    ['Comes with', (one) => one.options.join(', ') || 'nothing noted'],
    ['Open snags', (one) => one.snags.join('; ') || 'none known'],
  ]
  return (
    <Section heading="Side by side" id="side-by-side">
      <div class="scroll">
        <table class="side-by-side">
          <thead>
            <tr>
              <td />
              {compared.map((one) => (
                <th key={one.id} scope="col">
                  <a href={`/files/${one.id}`}>{one.title}</a>
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map(([label, cell]) => (
              <tr key={label}>
                <th scope="row">{label}</th>
                {compared.map((one) => (
                  <td key={one.id}>{cell(one)}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </Section>
  )
}

function StandInSuccess({ comesOut, printSuccess, on }: Pick<StandIn, 'comesOut' | 'printSuccess' | 'on'>) {
  return <SuccessInterval {...{ comesOut, printSuccess, basis: printSuccess.basis }} {...(on && { on })} />
}
